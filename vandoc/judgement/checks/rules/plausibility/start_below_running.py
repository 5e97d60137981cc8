"""The starting current of a load is not below its running current."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.analysis.van import exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule


@rule(review("start-below-running"))
def start(van: Van) -> Iterator[Breach]:
    """The starting current of a load is not below its running current."""
    for consumer in van.network.consumers:
        load = van.system.loads.get(consumer.owner)
        if load is None or load.start_a is None:
            continue
        running = consumer.amps_a / load.count
        if exceeds(running, load.start_a):
            yield Breach(
                "start-below-running",
                consumer.owner,
                ("loads", consumer.owner, "start"),
                {"name": load.name},
                Amount(load.start_a, "A"),
                Amount(running, "A"),
            )
