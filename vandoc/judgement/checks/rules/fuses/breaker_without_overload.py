"""A circuit breaker also opens at an overload, not only at a short circuit."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq


@rule(fail("breaker-without-overload"))
def without_overload(van: Van) -> Iterator[Breach]:
    """A circuit breaker also opens at an overload, not only at a short circuit."""
    for ident, breaker in van.of_kind(eq.CircuitBreaker):
        if breaker.release == "magnetic":
            yield Breach("breaker-without-overload", ident, van.trail(ident), {"breaker": breaker.name})
