"""Changes of equipment and its settings that may cure a fault."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import ceil, floor
from typing import Any

from pydantic import BaseModel

from vandoc.analysis import Van
from vandoc.analysis.van import ROUNDING
from vandoc.judgement.checks.change import Change, Kind, shown
from vandoc.judgement.checks.cures.sizes import MAX_SIZES, cable_of
from vandoc.judgement.checks.rule import Breach
from vandoc.judgement.checks.shared.charging import banks
from vandoc.judgement.checks.shared.profiles import groups_of
from vandoc.model import equipment as eq
from vandoc.model.references import Path as Trail

INVERTER_STEP_W = 50.0  # common practice, no source
Generator = Callable[[Van, Breach], Iterator[Change]]


def set_to(attribute: str, value: object) -> Generator:
    """Return a cure that sets an attribute of the equipment that a breach is about."""

    def changes(van: Van, breach: Breach) -> Iterator[Change]:
        if breach.subject in van.system.equipment:
            yield _setting(van, ("equipment", breach.subject, attribute), value)

    return changes


def or_more(attribute: str, unit: str) -> Generator:
    """Return a cure that raises a rating of the equipment in a breach to the value found."""

    def changes(van: Van, breach: Breach) -> Iterator[Change]:
        if breach.value is not None and breach.subject in van.system.equipment:
            value = _up(breach.value.value)
            yield _setting(van, ("equipment", breach.subject, attribute), value, unit, kind="rating")

    return changes


def higher_voltage(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield a rated voltage as high as that found: of a fuse holder, or of the item itself."""
    piece = van.system.equipment.get(breach.subject)
    made_for = piece.withstands() if piece else None
    yield from or_more(made_for.stated_as if made_for else "voltage_v", "V")(van, breach)


def grommet(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield a grommet for the cable of a breach."""
    conductor = cable_of(van, breach).conductor
    yield _setting(van, (*conductor.run, "metal"), "grommet", name=conductor.id)


def absorption(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the nearest absorption voltage in the range for the battery, and one in the middle of it."""
    piece = van.system.of_kind(eq.Charger).get(breach.subject)
    if breach.limit is not None and piece is not None and piece.profile is not None:
        trail = ("equipment", breach.subject, "profile", "absorption_v")
        yield _setting(van, trail, breach.limit.value, "V", name=piece.name)
        idents = {
            battery
            for _, charger, batteries, _ in groups_of(van)
            if charger is piece
            for battery in batteries
        }
        ranges = [van.leisure[ident].absorption_range(van.system.van.nominal_v) for ident in sorted(idents)]
        for found in ranges:
            if found is not None:
                middle = round((found.low + found.high) / 2, 1)
                yield replace(_setting(van, trail, middle, "V", name=piece.name), steps=2)


def smaller_charger(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield a smaller output of the charger of a breach."""
    piece = van.system.of_kind(eq.Charger).get(breach.subject)
    if breach.limit is not None and piece is not None:
        yield from _less_output(van, breach.subject, piece, breach.limit.value)


def less_drawn(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield smaller outputs of the chargers on an alternator, reduced by its overload."""
    if breach.value is None or breach.limit is None:
        return
    for ident, piece in van.of_kind(eq.Charger):
        inputs = [c.amps_a for c in van.network.consumers if c.owner == ident and c.kind == "charger"]
        if piece.source == "alternator" and inputs:
            left = inputs[0] - (breach.value.value - breach.limit.value)
            yield from _less_output(van, ident, piece, piece.output_a * left / inputs[0])


def _less_output(van: Van, ident: str, piece: eq.Charger, most_a: float) -> Iterator[Change]:
    below = [amps for amps in reversed(piece.usual_sizes()) if amps < piece.output_a]
    fit = [(amps, steps) for steps, amps in enumerate(below, 1) if amps <= most_a * ROUNDING]
    for amps, steps in fit[:MAX_SIZES]:
        now, then = shown(piece.output_a, "A"), shown(amps, "A")
        trail = ("equipment", ident, "stated_a")
        yield Change("setting", van.name(ident), ((trail, amps),), now, then, steps)


def smaller_inverter(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield smaller inverters, reduced by the overload of a battery, in whole steps of 50 W."""
    if breach.value is None or breach.limit is None:
        return
    over_a = breach.value.value - breach.limit.value
    for ident, inverter in van.of_kind(eq.Inverter):
        drawn = [c.amps_a for c in van.network.consumers if c.owner == ident]
        left = drawn[0] - over_a if drawn else 0.0
        watts = (
            INVERTER_STEP_W * floor(inverter.power_w * left / drawn[0] / INVERTER_STEP_W) if left > 0 else 0.0
        )
        if watts > 0:
            yield _setting(van, ("equipment", ident, "power_w"), watts, "W")


def in_parallel(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield arrays with fewer panels in series."""
    reached = van.network.joined(f"{breach.subject}.pv+")
    for ident, array in van.of_kind(eq.SolarArray):
        if f"{ident}.+" not in reached:
            continue
        count = array.series * array.parallel
        fewer = [series for series in range(array.series - 1, 0, -1) if count % series == 0]
        for steps, series in enumerate(fewer, 1):
            trail: Trail = ("equipment", ident)
            edits = ((*trail, "series"), series), ((*trail, "parallel"), count // series)
            yield Change("setting", van.name(ident), edits, str(array.series), str(series), steps)


def vent(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield vents with the free area that a battery needs, in whole tens of square centimetres."""
    place = van.system.equipment[breach.subject].place
    if breach.limit is not None:
        wide = 10.0 * ceil(breach.limit.value / 10 - 1e-9)
        name = van.system.places[place].label
        yield _setting(van, ("places", place, "vent_cm2"), wide, "cm²", name=name)


def to_outside(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield vents to the outside."""
    place = van.system.equipment[breach.subject].place
    name = van.system.places[place].label
    yield _setting(van, ("places", place, "vents_to"), "outside", name=name)


def like_its_neighbour(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield the capacity and the chemistry of the battery in parallel with it."""
    bank = next(bank for bank in banks(van) if breach.subject in bank.idents)
    one, other = van.leisure[breach.subject], van.leisure[bank.idents[0]]
    trail = ("equipment", breach.subject)
    if one.capacity_ah != other.capacity_ah:
        now, then = shown(one.capacity_ah, "Ah"), shown(other.capacity_ah, "Ah")
        yield Change("setting", one.name, (((*trail, "stated_ah"), other.capacity_ah),), now, then)
    if one.chemistry != other.chemistry:
        yield _setting(van, (*trail, "chemistry"), other.chemistry)


def past(kind: type[eq.Battery | eq.Shunt]) -> Generator:
    """Return a cure that connects a cable to the load side of a sensor or a shunt."""
    goal = "sensor" if kind is eq.Battery else "system"

    def changes(van: Van, breach: Breach) -> Iterator[Change]:
        cable = van.system.cables[int(breach.trail[1])] if breach.trail[0] == "cables" else None
        posts = {f"{ident}.-" for ident, _ in van.of_kind(eq.Battery)} | {f"{breach.subject}.battery"}
        for attribute in ("start", "end"):
            if cable is not None and getattr(cable, attribute) in posts:
                trail = (*breach.trail[:2], attribute)
                name = cable.id or f"{cable.start} to {cable.end}"
                yield _setting(van, trail, f"{breach.subject}.{goal}", name=name, kind="end")

    return changes


def _setting(
    van: Van, trail: Trail, value: object, unit: str = "", *, name: str = "", kind: Kind = "setting"
) -> Change:
    holder: Any = van.system
    for step in trail:
        holder = getattr(holder, str(step)) if isinstance(holder, BaseModel) else holder[step]
    now = shown(holder, unit)
    return Change(kind, name or van.name(str(trail[1])), ((trail, value),), now, shown(value, unit))


def _up(value: float) -> float:
    """Round a rating up to three digits, so that the value shown is sufficient."""
    digits = 10.0 ** (len(str(floor(value))) - 3)
    return ceil(value / digits - 1e-9) * digits


sensor, shunt = past(eq.Battery), past(eq.Shunt)
