"""A load with a minimum operating voltage has it in every operating state in which it runs."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.operating import lowest_v, said


@rule(fail("below-lowest-voltage", sizes.next_thicker))
def lowest(van: Van) -> Iterator[Breach]:
    """A load with a minimum operating voltage has it in every operating state in which it runs."""
    for consumer in van.network.consumers:
        least = lowest_v(van, consumer)
        arriving = [
            (volts, solved)
            for solved in van.solved.values()
            if consumer.owner in solved.device_amps
            and (volts := solved.across_v(consumer.plus, consumer.minus)) is not None
        ]
        if least is None or not arriving:
            continue
        volts, solved = min(arriving, key=lambda pair: pair[0])
        if not exceeds(least, volts):
            continue
        drop = van.sizing.drops.get(consumer.owner)
        way = [edge_id for edge_id, _, _ in drop.steps] if drop else []
        losses = solved.losses(van.network, consumer.plus, consumer.minus, way)
        lost = fsum(lost_v for _, lost_v in losses)
        yield Breach(
            "below-lowest-voltage",
            consumer.owner,
            van.wiring_trail(consumer.owner),
            {
                "name": van.name(consumer.owner),
                "state": said(solved.state),
                "volts": Amount(volts + lost, "V"),
                "lost": Amount(lost, "V"),
            },
            Amount(volts, "V"),
            Amount(least, "V"),
            steps=tuple(
                {
                    "part": edge_id,
                    "amps": Amount(lost_v / solved.ohms[edge_id], "A"),
                    "ohms": Amount(1000 * solved.ohms[edge_id], "mΩ"),
                    "volts": Amount(lost_v, "V"),
                }
                for edge_id, lost_v in losses
            ),
        )
