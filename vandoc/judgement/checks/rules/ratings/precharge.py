"""The input of an inverter on a high voltage is charged gently before a contact connects it."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import set_to
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq


@rule(fail("inverter-without-precharge", set_to("precharge", True)))
def precharge(van: Van) -> Iterator[Breach]:
    """The input of an inverter on a high voltage is charged gently before a contact connects it."""
    from_v = constant("voltage that needs pre-charge")
    for ident, inverter in van.of_kind(eq.Inverter):
        volts = van.highest_v(f"{ident}.+")
        if volts is None or inverter.precharge or not exceeds(volts, from_v.value):
            continue
        unknown = inverter.precharge is None
        words = {"inverter": inverter.name}
        yield Breach(
            "inverter-without-precharge",
            ident,
            van.trail(ident),
            words,
            Amount(volts, "V"),
            cited=(from_v,),
            unknown=unknown,
        )
