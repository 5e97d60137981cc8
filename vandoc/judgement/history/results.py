"""The main results of a van as plain figures, to compare two vans or two versions of vandoc."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isfinite

from vandoc import __version__
from vandoc.analysis import Van
from vandoc.judgement import checks
from vandoc.judgement.checks.finding import Finding
from vandoc.reading.archive import Calculated, KeptFinding
from vandoc.reading.loader import VanFile

Figures = Mapping[tuple[str, str], float]
"""A figure by its kind and the name of its item."""

UNITS = {
    "cable": "mm²",
    "fuse": "A",
    "current": "A",
    "fault": "A",
    "drop": "%",
    "capacity": "Ah",
    "autonomy": "d",
}
CHOSEN = ("cable", "fuse", "capacity")
"""Kinds whose figures are sizes: any change of them matters."""
SMALLEST = 0.05  # of any other figure; a smaller change does not matter to a reader
RULES_NOT_COMPARED = ("revision-changed", "revision-not-archived", "not-measured")


@dataclass(frozen=True)
class ChangedResult:
    """A changed result of a calculation; `kind` is one of `UNITS`."""

    kind: str
    name: str
    old: float
    new: float
    unit: str


def figures(van: Van) -> Figures:
    """Return the main results of a van: sizes, currents, short circuits, voltage drops and autonomy."""
    return van.once(_figures)


def _figures(van: Van) -> Figures:
    return {key: value for key, value in _all(van) if isfinite(value)}


def _all(van: Van) -> Iterator[tuple[tuple[str, str], float]]:
    for ident, cable in van.sizing.conductors.items():
        yield ("cable", ident), cable.area_mm2
    for ident, fuse in van.sizing.fuses.items():
        yield ("fuse", ident), fuse.rating_a
        yield ("current", ident), fuse.design_a
    for ident, drop in van.sizing.drops.items():
        yield ("drop", ident), drop.percent
    for ident, battery in van.system.batteries.items():
        yield ("capacity", ident), battery.capacity_ah
    for ident, amps in van.faults.at_fuse_a.items():
        yield ("fault", ident), amps
    for budget in van.energy.banks:
        seasons = budget.seasons.values()
        used = [season for season in seasons if season.months] or seasons
        yield ("autonomy", budget.bank.batteries[0]), min(season.days_dark.low for season in used)


def moved(old: Figures, new: Figures) -> Iterator[ChangedResult]:
    """Yield the figures that two vans both have and that differ, in the order of the newer."""
    for (kind, name), now in new.items():
        was = old.get((kind, name))
        if was is not None and _differs(kind, was, now):
            yield ChangedResult(kind, name, was, now, UNITS[kind])


def _differs(kind: str, old: float, new: float) -> bool:
    return abs(new - old) > (1e-5 if kind in CHOSEN else SMALLEST) * max(abs(old), abs(new))


def told(van: Van) -> tuple[Finding, ...]:
    """Return the findings of a van that say something of the van itself, not of its records."""
    return tuple(found for found in checks.run(van) if found.rule not in RULES_NOT_COMPARED)


def calculated(van_file: VanFile) -> Calculated:
    """Return what a revision of this van file keeps of its results."""
    van = Van.of(van_file)
    findings = (KeptFinding(one.rule, one.subject, one.severity, one.message) for one in told(van))
    return Calculated(__version__, figures(van), tuple(findings))
