"""Functions shared by the rules on charging profiles."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.model import equipment as eq


def groups_of(van: Van) -> Iterator[tuple[str, eq.Charger, tuple[str, ...], eq.Battery]]:
    """Yield each charger with the leisure batteries that it charges, those that are judged alike together."""
    found: dict[tuple[str, object], list[str]] = {}
    for ident, _, battery_id, battery in pairs_of(van):
        label = (battery.chemistry, battery.nominal_v, battery.cells)
        found.setdefault((ident, label), []).append(battery_id)
    for (ident, _), idents in found.items():
        charger = van.system.of_kind(eq.Charger)[ident]
        yield ident, charger, tuple(idents), van.leisure[idents[0]]


def pairs_of(van: Van) -> Iterator[tuple[str, eq.Charger, str, eq.Battery]]:
    """Yield each charger with each leisure battery that it charges."""
    for ident, charger in van.of_kind(eq.Charger):
        for source in van.sources_in(van.net(f"{ident}.out"), "battery"):
            if source.owner in van.leisure:
                yield ident, charger, source.owner, van.leisure[source.owner]
