"""A charger on the alternator gets the voltage that it needs at its input."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, CitedFigure, Phrase, Word, fail, review, rule
from vandoc.model import equipment as eq
from vandoc.physics import limits
from vandoc.physics.network.graph import Consumer, Source
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.states import OperatingState


@rule(fail("charger-input-low"), review("charger-input-drop"))
def charger_input(van: Van) -> Iterator[Breach]:
    """A charger on the alternator gets the voltage that it needs at its input."""
    driving = van.solved.get(OperatingState.DRIVING)
    if driving is None:
        return
    chargers = dict(van.of_kind(eq.Charger))
    for consumer in van.network.consumers:
        volts = driving.across_v(consumer.plus, consumer.minus)
        if consumer.kind != "charger" or chargers[consumer.owner].source != "alternator" or volts is None:
            continue
        usual = constant("lowest input of a charger")
        stated = chargers[consumer.owner].lowest_input_v
        least = usual.value * consumer.nominal_v if stated is None else stated
        words = {"charger": van.name(consumer.owner)}
        cited: tuple[CitedFigure | Phrase, ...] = (usual,) if stated is None else (Phrase("stated"),)
        if exceeds(least, volts):
            found, limit = Amount(volts, "V"), Amount(least, "V")
            yield Breach(
                "charger-input-low", consumer.owner, van.trail(consumer.owner), words, found, limit, cited
            )
        else:
            yield from _lost(van, consumer, driving)


def _lost(van: Van, consumer: Consumer, driving: SolvedState) -> Iterator[Breach]:
    """Compare the loss between the vehicle's source and the charger with the limit for feeders."""
    sources = [s for s in van.sources_in(van.net(consumer.plus), "alternator") if _is_fed(s, driving)]
    if not sources:
        return
    volts = driving.across_v(sources[0].plus, sources[0].minus)
    arriving = driving.across_v(consumer.plus, consumer.minus)
    limit = limits.voltage_drop(van.system, "general")
    assert volts is not None
    assert arriving is not None
    lost = volts - arriving
    percent = 100 * lost / consumer.nominal_v
    if exceeds(percent, limit.percent):
        words: dict[str, Word] = {
            "charger": van.name(consumer.owner),
            "source": van.name(sources[0].owner),
            "lost": Amount(lost, "V"),
            "nominal": Amount(consumer.nominal_v, "V"),
        }
        yield Breach(
            "charger-input-drop",
            consumer.owner,
            van.trail(consumer.owner),
            words,
            Amount(percent, "%"),
            Amount(limit.percent, "%"),
            (limit,),
        )


def _is_fed(source: Source, driving: SolvedState) -> bool:
    return driving.across_v(source.plus, source.minus) is not None
