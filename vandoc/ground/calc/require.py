"""Checks of formula arguments; NaN and infinity are never accepted."""

from math import isfinite


def finite(name: str, value: float) -> float:
    """Return ``value``; raise ValueError naming it unless it is a finite number."""
    if not isfinite(value):
        raise ValueError(f"{name} must be a finite number, got {value!r}")
    return value


def positive(name: str, value: float) -> float:
    """Return ``value``; raise ValueError naming it unless it is a finite number above 0."""
    if not (isfinite(value) and value > 0):
        raise ValueError(f"{name} must be a positive number, got {value!r}")
    return value


def not_negative(name: str, value: float) -> float:
    """Return ``value``; raise ValueError naming it unless it is a finite number of at least 0."""
    if not (isfinite(value) and value >= 0):
        raise ValueError(f"{name} must not be negative, got {value!r}")
    return value


def count(name: str, value: int) -> int:
    """Return ``value``; raise ValueError naming it unless it is a whole number of at least 1."""
    if value != int(finite(name, value)) or value < 1:
        raise ValueError(f"{name} must be a whole number of at least 1, got {value!r}")
    return value
