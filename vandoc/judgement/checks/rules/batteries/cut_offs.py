"""At a low voltage an alarm warns first, loads stop next, and the electronics of a battery act last."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.model import equipment as eq


@rule(fail("cut-off-below-cells"), review("cut-offs-not-coordinated"), review("alarm-after-cut-off"))
def cut_offs(van: Van) -> Iterator[Breach]:
    """At a low voltage an alarm warns first, loads stop next, and the electronics of a battery act last."""
    for ident, battery in van.system.leisure.items():
        nominal = battery.nominal_v or van.system.van.nominal_v
        floor = battery.traits.most(battery.traits.cut_off_v, nominal, battery.cells)
        acts, trail = battery.cuts_off(), van.trail(ident)
        words: dict[str, Word] = {"battery": battery.name}
        stated = None if acts is None else acts.volts_v
        if stated is not None and floor is not None and exceeds(floor.low, stated):
            found, limit = Amount(stated, "V"), Amount(floor.low, "V")
            yield Breach("cut-off-below-cells", ident, trail, words, found, limit, (floor,))
        yield from _others(van, ident, battery, nominal)


def _others(van: Van, ident: str, battery: eq.Battery, nominal_v: float) -> Iterator[Breach]:
    margin = constant("between cut-offs").value * nominal_v / 12
    acts, near = battery.cuts_off(), van.net(f"{ident}.+")
    stops: list[tuple[str, float]] = []
    alarms: list[tuple[str, float]] = []
    for name, piece in van.system.equipment.items():
        other = piece.cuts_off()
        if other is None or other.how == "battery" or not {f"{name}.+", f"{name}.in"} & near:
            continue
        if other.volts_v is not None:
            (alarms if other.how == "alarm" else stops).append((name, other.volts_v))
        elif acts is not None:
            words: dict[str, Word] = {"name": piece.name, "battery": battery.name}
            yield Breach("cut-offs-not-coordinated", name, van.trail(name), words, unknown=True)
    if acts is not None:
        for name, volts in stops:
            words = {"name": van.name(name), "battery": battery.name}
            found = Amount(volts, "V", 2)
            if acts.volts_v is None:
                yield Breach("cut-offs-not-coordinated", ident, van.trail(ident), words, found, unknown=True)
            elif exceeds(acts.volts_v + margin, volts):
                limit = Amount(acts.volts_v + margin, "V", 2)
                yield Breach("cut-offs-not-coordinated", name, van.trail(name), words, found, limit)
    highest = max(stops, key=lambda stop: stop[1], default=None)
    if highest is not None:
        for name, volts in alarms:
            if exceeds(highest[1] + margin, volts):
                words = {"name": van.name(name), "other": van.name(highest[0])}
                found, limit = Amount(volts, "V", 2), Amount(highest[1] + margin, "V", 2)
                yield Breach("alarm-after-cut-off", name, van.trail(name), words, found, limit)
