"""Changes of cables and fuses that may cure a fault, each with its distance from the present size."""

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from math import floor, inf, isfinite
from typing import TypeVar

from vandoc.analysis import Van, exceeds
from vandoc.analysis.van import ROUNDING
from vandoc.ground.calc import capacity as cap
from vandoc.ground.calc.conductor import size_name
from vandoc.ground.calc.fuse import FAMILIES, breaking_capacity, standard_ratings
from vandoc.ground.data import constant
from vandoc.judgement.checks.change import Change, Kind, shown
from vandoc.judgement.checks.rule import Breach
from vandoc.judgement.checks.shared.fuses import alone, most_broken
from vandoc.model.references import Path as Trail
from vandoc.physics import limits
from vandoc.physics.network.graph import Conductor, FuseLink
from vandoc.physics.sizing import SizedConductor, SizedFuse

Item = TypeVar("Item")
Name = TypeVar("Name", bound=Hashable)
INSULATIONS_C = (60.0, 70.0, 85.0, 90.0, 100.0, 105.0, 125.0, 150.0)  # common practice, no source
MAX_SIZES = 2  # of one series of sizes; the number of trials is limited
MAX_FOR_START = 6  # a fuse that carries the current may still blow during a long start
SHORTEST_M = 0.1  # vandoc's own value: a cable with its two lugs is not made shorter
MOST_GROWTH = 4.0  # vandoc's own value: rather than a cable larger than that, a branch gets its own fuse
MOST_ABOVE = 1.6  # vandoc's own value: another type whose smallest rating is beyond that protects nothing


def cable_of(van: Van, breach: Breach) -> SizedConductor:
    """Return the cable that a breach is about."""
    return van.sizing.conductors[str(breach.words["cable"])]


def fuses_named(van: Van, breach: Breach) -> list[FuseLink]:
    """Return the fuses that a breach names, or the fuse that it points at in the file."""
    by_trail, by_name = van.once(_fuses_by_trail), van.once(_fuses_by_name)
    links = list(by_trail.get(breach.trail, ()))
    for name in str(breach.words.get("fuse", "")).split(", "):
        links += by_name.get(name, ())
    return sorted(dict.fromkeys(links), key=lambda link: van.network.fuse_order[link.id])


def _fuses_by_trail(van: Van) -> dict[Trail, list[FuseLink]]:
    return _grouped(van.network.fuses.values(), lambda link: link.trail)


def _fuses_by_name(van: Van) -> dict[str, list[FuseLink]]:
    return _grouped(van.network.fuses.values(), van.fuse_name)


def _cables_by_trail(van: Van) -> dict[Trail, list[SizedConductor]]:
    return _grouped(van.sizing.conductors.values(), lambda sized: sized.conductor.trail)


def _grouped(items: Iterable[Item], key: Callable[[Item], Name]) -> dict[Name, list[Item]]:
    groups: dict[Name, list[Item]] = {}
    for item in items:
        groups.setdefault(key(item), []).append(item)
    return groups


def stronger(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield changes that let the cable of a breach carry its current: size, insulation, grouping."""
    sized = cable_of(van, breach)
    needed = breach.value.value if breach.value else 0.0
    fuses = (*van.widest.without(sized.conductor), sized.returned_a)
    for amps in (needed, max(amps for amps in (needed, *fuses) if isfinite(amps))):
        for change in carry(van, sized, amps):
            if change.kind != "area" or _area_in(change) <= MOST_GROWTH * sized.area_mm2:
                yield change


def _area_in(change: Change) -> float:
    return float(str(change.edits[0][1]))


def carry(van: Van, sized: SizedConductor, needed_a: float) -> Iterator[Change]:
    """Yield changes that let a cable carry a current."""
    conductor = sized.conductor
    larger = limits.larger_cables(van.system, sized.area_mm2)
    for area, steps in first_rungs(larger, lambda area: _carries(van, sized, area_mm2=area) >= needed_a):
        yield thicker(sized, area, steps)
    hotter = [celsius for celsius in INSULATIONS_C if celsius > conductor.insulation_c]
    for celsius, steps in first_rungs(hotter, lambda c: _carries(van, sized, insulation_c=c) >= needed_a):
        now, then = shown(conductor.insulation_c, "°C"), shown(celsius, "°C")
        yield _run_change(sized, "insulation", "insulation_c", celsius, now, then, steps)
    looser = [float(count) for count in range(conductor.bunched - 1, 0, -1)]
    for count, steps in first_rungs(looser, lambda n: _carries(van, sized, bunched=int(n)) >= needed_a):
        now, then = str(conductor.bunched), f"{count:g}"
        yield _run_change(sized, "bunched", "bunched", int(count), now, then, steps)


def thicker(sized: SizedConductor, area_mm2: float, steps: int) -> Change:
    """Return the change to a larger cross-section."""
    conductor = sized.conductor
    copper = (area_mm2 - sized.area_mm2) * conductor.length_m
    trail = area_trail(conductor)
    return Change("area", conductor.id, ((trail, area_mm2),), sized.size, size_name(area_mm2), steps, copper)


def at_least(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield a cross-section of the cable no smaller than the limit of a breach."""
    sized, least = cable_of(van, breach), breach.limit.value if breach.limit else 0.0
    larger = limits.larger_cables(van.system, sized.area_mm2)
    for area, steps in first_rungs(larger, lambda area: area >= least - 1e-6):
        yield thicker(sized, area, steps)


def like_its_twin(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield a cable that is as the other one in parallel with it: as long, as large, as well insulated.

    The shorter one is replaced, because a long cable cannot always be shortened.
    """
    pair = [van.sizing.conductors[str(breach.words[word])] for word in ("cable", "other")]
    longest = max(sized.conductor.length_m for sized in pair)
    area = max(sized.area_mm2 for sized in pair)
    celsius = max(sized.conductor.insulation_c for sized in pair)
    parts = []
    for sized in pair:
        run = sized.conductor
        if run.length_m < longest:
            now, then = shown(run.length_m, "m"), shown(longest, "m")
            parts.append(_run_change(sized, "twin", "length_m", longest, now, then))
        if sized.area_mm2 < area:
            parts.append(thicker(sized, area, 1))
        if run.insulation_c < celsius:
            now, then = shown(run.insulation_c, "°C"), shown(celsius, "°C")
            parts.append(_run_change(sized, "insulation", "insulation_c", celsius, now, then))
    if parts:
        first, *others = parts
        for other in others:
            first = first.together_with(other)
        yield first


def better_insulated(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield insulation with a temperature rating above the ambient temperature."""
    sized = cable_of(van, breach)
    hotter = [celsius for celsius in INSULATIONS_C if celsius > sized.conductor.insulation_c]
    for celsius, steps in first_rungs(hotter, lambda celsius: celsius > sized.ambient_c):
        now, then = shown(sized.conductor.insulation_c, "°C"), shown(celsius, "°C")
        yield _run_change(sized, "insulation", "insulation_c", celsius, now, then, steps)


def nearer(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield a shorter or a sheathed cable upstream of the first fuse."""
    sized = cable_of(van, breach)
    conductor = sized.conductor
    if breach.value and breach.limit:
        metres = floor(100 * (conductor.length_m - breach.value.value + breach.limit.value) + 1e-6) / 100
        if metres >= SHORTEST_M:
            now, then = shown(conductor.length_m, "m"), shown(metres, "m")
            yield _run_change(sized, "length", "length_m", metres, now, then)
    if not conductor.sheathed:
        yield _run_change(sized, "sheathed", "sheathed", True, shown(False), shown(True))


def larger_fuse(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the next larger fuses that carry the current of a breach, or fuse types with such a rating."""
    yield from _larger(van, breach, breach.value.value if breach.value and breach.value.unit == "A" else 0.0)


def fuse_for_start(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the next larger fuses that let a load start, or fuse types with such a rating."""
    yield from _larger(van, breach, 0.0, most=MAX_FOR_START)


def fuse_that_lasts_a_start(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the next larger fuses that carry a start: what a fuse carries briefly rises with its rating."""
    if breach.value and breach.limit and breach.limit.value:
        excess = breach.value.value / breach.limit.value
        yield from _larger(
            van, breach, excess * max(van.ratings[link.id] for link in fuses_named(van, breach))
        )


def _larger(van: Van, breach: Breach, least_a: float, most: int = MAX_SIZES) -> Iterator[Change]:
    multiple = constant("start-up multiple").value
    for link in fuses_named(van, breach):
        sized = van.sizing.fuses[link.id]
        lasting, starting = _continuous(van, sized), sized.start_a / multiple
        needed = round(max(sized.design_a, lasting, starting, least_a), 6)
        larger = [amps for amps in standard_ratings(link.family) if amps > sized.rating_a]
        if not (alone(van, link) and most_broken(van, link) < van.faults.at_fuse_a[link.id]):
            for amps, steps in first_rungs(larger, needed.__le__, most):
                yield fuse(van, link, amps, steps)
        yield from other_family(van, link, needed)


def _continuous(van: Van, sized: SizedFuse) -> float:
    """Return the rating at which a fuse carries its continuous current at its place. [A]"""
    share = limits.fuse_load(van.system).value * sized.ambient_factor
    return sized.continuous_a / share if share else inf


def smaller_fuse(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the next smaller ratings within a breach's limit, for the fuse named and those at its cable."""
    most = breach.limit.value if breach.limit else inf
    links = dict.fromkeys(fuses_named(van, breach))
    if "cable" in breach.words:
        conductor = cable_of(van, breach).conductor
        edges = [*van.network.at(conductor.start), *van.network.at(conductor.end)]
        links |= dict.fromkeys(edge for edge in edges if isinstance(edge, FuseLink))
    for link in links:
        if exceeds(van.ratings[link.id], most):
            yield from _smaller(van, link, most)


def next_smaller(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the next smaller ratings for the fuse that a breach names."""
    for link in fuses_named(van, breach):
        yield from _smaller(van, link, inf)


def next_thicker(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the next larger cross-sections for the cable or circuit of a breach."""
    if named := breach.words.get("cable"):
        cable = van.sizing.conductors.get(str(named))
        here = [cable] if cable else []
    else:
        here = van.once(_cables_by_trail).get(breach.trail, [])
    for sized in here:
        if not sized.conductor.vehicle:
            larger = limits.larger_cables(van.system, sized.area_mm2)
            for steps, area in enumerate(larger[: 2 * MAX_SIZES], start=1):
                yield thicker(sized, area, steps)


def smaller_before(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield smaller ratings for all fuses whose rating is the value of a breach."""
    most = breach.limit.value if breach.limit else inf
    for ident, sized in van.sizing.fuses.items():
        if breach.value and abs(sized.rating_a - breach.value.value) < 1e-6:
            yield from _smaller(van, van.network.fuses[ident], most)


def _smaller(van: Van, link: FuseLink, most_a: float) -> Iterator[Change]:
    sized = van.sizing.fuses[link.id]
    below = [amps for amps in reversed(standard_ratings(link.family)) if amps < sized.rating_a]
    for amps, steps in first_rungs(below, lambda amps: amps <= most_a * ROUNDING):
        if amps * ROUNDING >= sized.design_a:
            yield fuse(van, link, amps, steps)


def standard_fuse(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the standard ratings next to a non-standard one, and fuse types that have it."""
    for link in fuses_named(van, breach):
        rating = van.ratings[link.id]
        made = sorted(standard_ratings(link.family), key=lambda amps: (abs(amps - rating), amps))
        for steps, amps in enumerate(made[:MAX_SIZES], start=1):
            yield fuse(van, link, amps, steps)
        yield from other_family(van, link, rating)


def breaking_fuse(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield fuse types with enough breaking capacity for the current of a breach."""
    for link in fuses_named(van, breach):
        yield from other_family(van, link, van.ratings[link.id])


def fuse_voltage(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield a fuse of the same type with a higher rated voltage, or fuse types that have it."""
    least = breach.limit.value if breach.limit else 0.0
    for link in fuses_named(van, breach):
        if link.position is None:
            made = [volts for volts in FAMILIES[link.family].rated_voltages_v if volts >= least]
            for steps, volts in enumerate(made, start=1):
                trail = (*link.trail, "voltage_v")
                now, then = shown(link.voltage_v, "V"), shown(volts, "V")
                yield Change("setting", van.fuse_name(link), ((trail, volts),), now, then, steps)
        yield from other_family(van, link, van.ratings[link.id])


SPECIAL = ("glass", "gPV", "breaker")
"""Families that are no general replacement for another one."""


def other_family(van: Van, link: FuseLink, rating_a: float) -> Iterator[Change]:
    """Yield other types for a fuse in its own holder that break its current, the smallest margin first."""
    if link.position is not None:
        return
    volts = van.highest_v(link.start) or van.system.van.nominal_v
    breaks_a = van.faults.at_fuse_a[link.id]
    found: list[tuple[float, str, float]] = []
    for name, family in FAMILIES.items():
        ratings = [amps for amps in standard_ratings(name) if amps >= rating_a - 1e-6]
        figures = [breaking_capacity(name, volts, kind) for kind in ("standard", "trade")]
        most = max((figure.amps_a for figure in figures if figure), default=0.0)
        if name in (link.family, *SPECIAL):
            continue
        near = ratings and ratings[0] <= MOST_ABOVE * max(rating_a, van.ratings[link.id])
        if near and most >= breaks_a and max(family.rated_voltages_v) >= volts:
            found.append((most, name, ratings[0]))
    for steps, (_, name, amps) in enumerate(sorted(found)[: 2 * MAX_SIZES], start=1):
        edits: list[tuple[Trail, object]] = [((*link.trail, "family"), name)]
        if link.rating_a is not None:
            edits.append(((*link.trail, "rating_a"), amps))
        if link.voltage_v is not None and link.voltage_v not in FAMILIES[name].rated_voltages_v:
            edits.append(((*link.trail, "voltage_v"), max(FAMILIES[name].rated_voltages_v)))
        edits.append(((*link.trail, "breaking_a"), None))  # the stated figures are those of another fuse
        edits += _no_curve(link)
        now, then = str(link.family), str(name)
        if abs(amps - van.ratings[link.id]) > 1e-6:
            now, then = f"{now} {shown(van.ratings[link.id], 'A')}", f"{then} {shown(amps, 'A')}"
        yield Change("family", van.fuse_name(link), tuple(edits), now, then, steps)


def fuse(van: Van, link: FuseLink, rating_a: float, steps: int) -> Change:
    """Return the change to another rating of the same type."""
    now, then = shown(van.ratings[link.id], "A"), shown(rating_a, "A")
    edits = [((*link.trail, "rating_a"), rating_a), *_no_curve(link)]
    return Change("fuse", van.fuse_name(link), tuple(edits), now, then, steps)


def _no_curve(link: FuseLink) -> list[tuple[Trail, object]]:
    """Return the edit that removes the operating time that the manufacturer states of another fuse."""
    return [((*link.trail, "opens"), None)] if link.by_maker.opens_at_a is not None else []


def first_rungs(
    ladder: Sequence[float], fits: Callable[[float], bool], most: int = MAX_SIZES
) -> list[tuple[float, int]]:
    """Return the first sizes of a series that fit, each with its distance."""
    return [(rung, steps) for steps, rung in enumerate(ladder, start=1) if fits(rung)][:most]


def _carries(
    van: Van,
    sized: SizedConductor,
    *,
    area_mm2: float | None = None,
    insulation_c: float | None = None,
    bunched: int | None = None,
) -> float:
    """Return the cable's current-carrying capacity after one change, by the strictest basis. [A]"""
    conductor = sized.conductor
    found = []
    for one in limits.bases(van.system):
        try:
            capacity = cap.capacity(
                area_mm2 or sized.area_mm2,
                insulation_c or conductor.insulation_c,
                sized.ambient_c,
                bunched or conductor.bunched,
                one,
                buried_m=conductor.buried_m or 0.0,
                conduit=conductor.conduit,
            )
        except ValueError:  # this basis has no figure for it
            continue
        found.append(capacity.amps_a)
    return min(found, default=0.0)


def area_trail(conductor: Conductor) -> Trail:
    """Return the model path of the cross-section of a cable."""
    if conductor.role == "return":
        return (*conductor.trail[:-1], "return_", "area_mm2")
    return (*conductor.run, "area_mm2")


def _run_change(
    sized: SizedConductor, kind: Kind, attribute: str, value: object, now: str, then: str, steps: int = 1
) -> Change:
    trail = (*sized.conductor.run, attribute)
    return Change(kind, sized.conductor.id, ((trail, value),), now, then, steps)
