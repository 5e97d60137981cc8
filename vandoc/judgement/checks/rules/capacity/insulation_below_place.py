"""The ambient temperature along a cable is below the temperature rating of its insulation."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.capacity import is_too_hot, ours


@rule(fail("insulation-below-place", sizes.better_insulated))
def insulation(van: Van) -> Iterator[Breach]:
    """The ambient temperature along a cable is below the temperature rating of its insulation."""
    for sized in ours(van):
        conductor = sized.conductor
        if conductor.role == "return" or not is_too_hot(sized):
            continue
        hottest = max(conductor.places, key=lambda place: van.system.places[place].hottest_c)
        yield Breach(
            "insulation-below-place",
            van.subject(conductor),
            conductor.trail,
            {"cable": conductor.id, "place": van.system.places[hottest].label},
            Amount(conductor.insulation_c, "°C"),
            Amount(sized.ambient_c, "°C"),
        )
