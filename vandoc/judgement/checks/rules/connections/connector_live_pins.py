"""The half of a connector that stays live when it is pulled apart is the socket."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq


@rule(fail("connector-live-pins"))
def connector_live_pins(van: Van) -> Iterator[Breach]:
    """The half of a connector that stays live when it is pulled apart is the socket."""
    for ident, connector in van.of_kind(eq.Connector):
        if connector.live_side != "socket" and f"{ident}.in" not in van.network.negative:
            words, unknown = {"connector": connector.name}, connector.live_side is None
            yield Breach("connector-live-pins", ident, van.trail(ident), words, unknown=unknown)
