"""The whole current of a battery passes through its shunt."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq
from vandoc.physics.network.graph import Edge, owner_of


@rule(fail("shunt-bypassed", pieces.shunt))
def shunt(van: Van) -> Iterator[Breach]:
    """The whole current of a battery passes through its shunt."""
    for ident, _ in van.of_kind(eq.Shunt):
        first, last = f"{ident}.battery", f"{ident}.system"
        beyond = van.network.flood([last], lambda edge: not _at_post(van, edge))
        before = van.network.flood([first], lambda edge: not {edge.start, edge.end} & beyond)  # noqa: B023
        for cable in van.network.conductors.values():
            ends = {cable.start, cable.end}
            past = ends & before and ends & beyond
            if past or any(end in before and not _may_lie_before(van, end) for end in ends):
                words = {"cable": cable.id, "shunt": van.name(ident)}
                yield Breach("shunt-bypassed", ident, cable.trail, words)


def _at_post(van: Van, edge: Edge) -> bool:
    """Whether an edge is at a battery's negative, its sensor, or the battery side of a shunt."""
    ends = (edge.start, edge.end)
    return any(owner_of(end) in van.system.batteries or end.endswith(".battery") for end in ends)


def _may_lie_before(van: Van, node: str) -> bool:
    owner = owner_of(node)
    joins_several = owner in van.system.equipment and van.system.equipment[owner].side == "either"
    return joins_several or owner in van.system.batteries or node.endswith(".battery")
