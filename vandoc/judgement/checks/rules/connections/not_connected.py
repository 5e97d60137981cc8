"""Every terminal that must be connected has a cable."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.model import equipment as eq


@rule(review("not-connected"))
def not_connected(van: Van) -> Iterator[Breach]:
    """Every terminal that must be connected has a cable."""
    for ident, piece in van.system.equipment.items():
        optional = piece.optional_terminals()
        for terminal in eq.full_terminals(ident, piece):
            if terminal.partition(".")[2] in optional:
                continue
            if not van.cables_at(terminal) and not _joined_by_circuit(van, terminal):
                words = {"name": van.name(ident), "terminal": terminal}
                yield Breach("not-connected", ident, van.trail(ident), words)
                break


def _joined_by_circuit(van: Van, terminal: str) -> bool:
    return any(edge for edge in van.network.at(terminal) if getattr(edge, "kind", "") == "common")
