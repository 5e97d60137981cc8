"""A charger is close to the battery that it charges."""

import heapq
from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.model import equipment as eq
from vandoc.physics import limits
from vandoc.physics.network.graph import Conductor, far_end


@rule(review("charger-far-from-battery"))
def near(van: Van) -> Iterator[Breach]:
    """A charger is close to the battery that it charges."""
    longest = limits.charger_cable(van.system)
    for ident, _ in van.of_kind(eq.Charger):
        node = f"{ident}.out"
        batteries = [s for s in van.sources_in(van.net(node), "battery") if s.owner in van.leisure]
        ways = {s.owner: _cable_length(van, node, s.plus) for s in batteries}
        if not ways:
            continue
        battery = min(ways, key=lambda owner: ways[owner])
        if exceeds(ways[battery], longest.value):
            words = {"charger": van.name(ident), "battery": van.name(battery)}
            found, limit = Amount(ways[battery], "m"), Amount(longest.value, "m")
            trail = van.trail(ident)
            yield Breach("charger-far-from-battery", ident, trail, words, found, limit, (longest,))


def _cable_length(van: Van, start: str, goal: str) -> float:
    """Return the cable length of the shortest path between two terminals. [m]"""
    best: dict[str, float] = {}
    heap = [(0.0, start)]
    while heap:
        metres, node = heapq.heappop(heap)
        if node in best:
            continue
        best[node] = metres
        for edge in van.network.at(node):
            cost = edge.length_m if isinstance(edge, Conductor) else 0.0
            heapq.heappush(heap, (metres + cost, far_end(edge, node)))
    return best[goal]
