"""The limits that apply to a van: those of standards and the trade, or the workshop's stricter ones."""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from vandoc.ground.calc.capacity import BASES
from vandoc.ground.calc.conductor import STANDARD_AREAS_MM2, awg_areas_mm2
from vandoc.ground.calc.drop import Limit, drop_limit
from vandoc.ground.calc.protection import PermittedDistance, permitted_distance_m
from vandoc.ground.calc.smallest import SmallestConductor, smallest_conductor
from vandoc.ground.data import Constant, constant
from vandoc.model.system import CompletedSystem
from vandoc.model.workshop import WORDS

Found = TypeVar("Found")


def bases(system: CompletedSystem) -> tuple[str, ...]:
    """Return the standards for current-carrying capacities, the strictest of which decides.

    The van file's own, otherwise the workshop's, otherwise all.
    """
    return (system.van.basis,) if system.van.basis else tuple(system.house.bases) or BASES


def cable_sizes(system: CompletedSystem) -> tuple[float, ...]:
    """Return the sizes of cable that the workshop fits, the smallest first: IEC 60228 or AWG. [mm²]"""
    return awg_areas_mm2() if system.house.units == "US" else STANDARD_AREAS_MM2


def larger_cables(system: CompletedSystem, area_mm2: float) -> list[float]:
    """Return the sizes of cable above a cross-section, the smallest first. [mm²]"""
    return [area for area in cable_sizes(system) if area > area_mm2 + 1e-6]


def voltage_drop(system: CompletedSystem, kind: str) -> Limit:
    """Return the maximum voltage drop for a kind of circuit, supply and return together. [%]"""
    own = _strictest(system, lambda basis: drop_limit(kind, basis), lambda limit: limit.percent)
    percent = system.house.limits.voltage_drop.of(kind)
    if percent is None or percent >= own.percent:
        return own
    return Limit(percent, source(), source(), from_memory=False)


def unprotected(system: CompletedSystem, *, sheathed: bool) -> PermittedDistance:
    """Return the maximum length of cable between a source and its fuse. [m]"""
    own = _strictest(
        system, lambda basis: permitted_distance_m(sheathed, basis), lambda limit: limit.distance_m
    )
    metres = system.house.limits.unprotected_m
    if metres is None or metres >= own.distance_m:
        return own
    return PermittedDistance(metres, source(), source(), from_memory=False)


def fuse_load(system: CompletedSystem) -> Constant:
    """Return the maximum continuous current of a fuse as a share of its rating."""
    percent = system.house.limits.fuse_load_percent
    return _stated("continuous fuse load", None if percent is None else percent / 100)


def smallest_cable(
    system: CompletedSystem, *, sheathed: bool, length_m: float, current_a: float
) -> SmallestConductor | None:
    """Return the minimum cross-sectional area of a conductor; None if no rule applies to it. [mm²]"""
    found = smallest_conductor(sheathed, length_m, current_a, bases(system))
    own = system.house.limits.smallest_cable_mm2
    longest_free = constant("short separate conductor").value
    if own is None or sheathed or length_m <= longest_free or (found is not None and found.area_mm2 >= own):
        return found
    return SmallestConductor("", sheathed, own, longest_free, 0.0, source(), from_memory=False)


def charger_cable(system: CompletedSystem) -> Constant:
    """Return the maximum length of cable between a charger and its battery. [m]"""
    return _stated("longest charger cable", system.house.limits.charger_cable_m)


def source() -> str:
    """Return what is cited for a limit of the workshop."""
    return WORDS.say("source")


def _stated(name: str, value: float | None) -> Constant:
    """Return a figure, or the workshop's in its place; that is stricter, as its file was read."""
    own = constant(name)
    return own if value is None else replace(own, value=value, source=source(), from_memory=False)


def _strictest(
    system: CompletedSystem, find: Callable[[str | None], Found], figure: Callable[[Found], float]
) -> Found:
    named: tuple[str | None, ...] = (system.van.basis,) if system.van.basis else tuple(system.house.bases)
    return min((find(basis) for basis in named or (None,)), key=figure)
