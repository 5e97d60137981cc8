"""A converter is asked for no more than it gives."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.operating import overloads


@rule(fail("converter-overloaded"))
def overloaded(van: Van) -> Iterator[Breach]:
    """A converter is asked for no more than it gives."""
    sources = {source.owner: source for source in van.network.sources}
    for ident, asked in overloads(van).items():
        source = sources[ident]
        fed = [c for c in van.consumers_in(van.net(source.plus)) if c.kind in ("load", "inverter")]
        largest = sorted(fed, key=lambda consumer: -consumer.amps_a)
        yield Breach(
            "converter-overloaded",
            ident,
            (*van.trail(ident), "output"),
            {
                "converter": van.name(ident),
                "loads": van.names(consumer.owner for consumer in largest),
                "sum": " + ".join(str(Amount(consumer.amps_a, "A")) for consumer in largest),
            },
            Amount(asked, "A"),
            Amount(source.limit_a or 0.0, "A"),
        )
