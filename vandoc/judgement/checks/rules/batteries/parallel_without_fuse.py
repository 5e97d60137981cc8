"""Each of several batteries in parallel has a fuse of its own, so that none feeds a fault in another."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.judgement.checks.shared.charging import banks
from vandoc.physics.network.graph import Edge, FuseLink, Joint


@rule(fail("parallel-lithium-without-fuse"), review("parallel-battery-without-disconnect"))
def own_fuse(van: Van) -> Iterator[Breach]:
    """Each of several batteries in parallel has a fuse of its own, so that none feeds a fault in another."""
    for bank in banks(van):
        for ident in bank.idents:
            others = {f"{other}.+" for other in bank.idents if other != ident}
            unfused = van.network.flood([f"{ident}.+"], lambda edge: not isinstance(edge, FuseLink))
            joined = others & unfused
            if not joined:
                continue
            words = {
                "battery": van.name(ident),
                "other": van.names(sorted(n.partition(".")[0] for n in joined)),
            }
            if van.leisure[ident].traits.management is not False:
                yield Breach("parallel-lithium-without-fuse", ident, van.trail(ident), words)
            elif others & van.network.flood([f"{ident}.+"], _joined):
                yield Breach("parallel-battery-without-disconnect", ident, van.trail(ident), words)


def _joined(edge: Edge) -> bool:
    """Whether an edge can neither open by itself nor be opened by hand."""
    return not (isinstance(edge, FuseLink) or (isinstance(edge, Joint) and edge.kind == "isolator"))
