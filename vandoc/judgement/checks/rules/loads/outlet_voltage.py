"""A socket is made for the voltage of its net."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("outlet-voltage"))
def outlet_voltage(van: Van) -> Iterator[Breach]:
    """A socket is made for the voltage of its net."""
    for ident, load in van.system.loads.items():
        volts = van.highest_v(f"{ident}.+")
        if load.outlet is None or volts is None:
            continue
        value, words = Amount(volts, "V"), {"load": load.name}
        if load.outlet.voltage_v is None:
            yield Breach("outlet-voltage", ident, van.trail(ident), words, value, unknown=True)
        elif exceeds(volts, load.outlet.voltage_v):
            limit = Amount(load.outlet.voltage_v, "V")
            yield Breach("outlet-voltage", ident, van.trail(ident), words, value, limit)
