"""The rated voltage of a fuse is no lower than the voltage of its net."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Phrase, fail, rule
from vandoc.judgement.checks.shared.fuses import words_of


@rule(fail("fuse-voltage", sizes.fuse_voltage))
def voltage(van: Van) -> Iterator[Breach]:
    """The rated voltage of a fuse is no lower than the voltage of its net."""
    for sized in van.sizing.fuses.values():
        link, family = sized.link, FAMILIES[sized.link.family]
        volts = van.highest_v(link.start)
        if volts is None:
            continue
        stated = (link.voltage_v,) if link.voltage_v else family.rated_voltages_v
        if stated[0] >= volts:
            continue
        figure = next(b for b in family.breaking if b.voltage_v == max(family.rated_voltages_v))
        yield Breach(
            "fuse-voltage",
            van.fuse_subject(link),
            link.trail,
            {**words_of(van, sized), "lowest": Amount(stated[0], "V"), "highest": Amount(stated[-1], "V")},
            Amount(stated[0], "V"),
            Amount(volts, "V"),
            cited=(Phrase("maker"),) if link.voltage_v else (figure,),
            unknown=stated[-1] >= volts,
        )
