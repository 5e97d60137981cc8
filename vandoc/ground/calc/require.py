"""Refusal of numbers a formula has no meaning for; NaN and infinity never pass."""

from math import isfinite


def finite(name: str, value: float) -> float:
    """Return ``value``; anything but a finite number is a ValueError that names it."""
    if not isfinite(value):
        raise ValueError(f"{name} must be a finite number, got {value!r}")
    return value


def positive(name: str, value: float) -> float:
    """Return ``value``; anything but a finite number above 0 is a ValueError that names it."""
    if not (isfinite(value) and value > 0):
        raise ValueError(f"{name} must be a positive number, got {value!r}")
    return value


def not_negative(name: str, value: float) -> float:
    """Return ``value``; anything but a finite number of at least 0 is a ValueError that names it."""
    if not (isfinite(value) and value >= 0):
        raise ValueError(f"{name} must not be negative, got {value!r}")
    return value


def count(name: str, value: int) -> int:
    """Return ``value``; anything but a whole number of at least 1 is a ValueError that names it."""
    if value != int(finite(name, value)) or value < 1:
        raise ValueError(f"{name} must be a whole number of at least 1, got {value!r}")
    return value
