"""A circuit breaker stays open until someone closes it."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq


@rule(fail("breaker-closes-itself"))
def closes_itself(van: Van) -> Iterator[Breach]:
    """A circuit breaker stays open until someone closes it."""
    for ident, breaker in van.of_kind(eq.CircuitBreaker):
        if breaker.reset != "by hand":
            words, unknown = {"breaker": breaker.name}, breaker.reset is None
            yield Breach("breaker-closes-itself", ident, van.trail(ident), words, unknown=unknown)
