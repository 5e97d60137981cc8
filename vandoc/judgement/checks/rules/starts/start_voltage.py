"""A device that starts keeps the voltage that it needs."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.judgement.checks.shared.operating import overloads
from vandoc.physics.network.graph import Consumer
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.states import OperatingState


@rule(
    fail("start-voltage-low", sizes.next_thicker),
    review("start-voltage-unsure"),
    fail("start-collapses", sizes.next_thicker),
)
def start_voltage(van: Van) -> Iterator[Breach]:
    """A device that starts keeps the voltage that it needs."""
    usual = constant("lowest voltage of a load")
    for start, found in van.starts:
        consumer = next(one for one in van.network.consumers if one.owner == start.owner)
        trail = van.wiring_trail(start.owner)
        words: dict[str, Word] = {"name": van.name(start.owner), "amps": Amount(start.amps_a, "A")}
        if not isinstance(found, SolvedState):
            if found.settles and OperatingState.NIGHT in van.solved and not overloads(van):
                yield Breach("start-collapses", start.owner, trail, words, unknown=not start.stated)
            continue
        volts = found.across_v(consumer.plus, consumer.minus)
        stated = van.system.things[start.owner].least_v()
        least = usual.value * consumer.nominal_v if stated is None else stated
        if volts is None or not exceeds(least, volts) or _is_low_anyway(van, consumer, least):
            continue
        slug = "start-voltage-low" if start.stated and stated is not None else "start-voltage-unsure"
        value, limit = Amount(volts, "V"), Amount(least, "V")
        cited = () if slug == "start-voltage-low" else (usual,) if stated is None else (start.usual,)
        yield Breach(slug, start.owner, trail, words, value, limit, cited)


def _is_low_anyway(van: Van, consumer: Consumer, least_v: float) -> bool:
    """Whether the voltage is too low while the device runs, which is said elsewhere."""
    running = (
        solved.across_v(consumer.plus, consumer.minus)
        for solved in van.solved.values()
        if consumer.owner in solved.device_amps
    )
    return any(volts is not None and exceeds(least_v, volts) for volts in running)
