"""Functions shared by the rules on charging profiles."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.model import equipment as eq


def pairs_of(van: Van) -> Iterator[tuple[str, eq.Charger, str, eq.Battery]]:
    """Yield each charger with each leisure battery that it charges."""
    for ident, charger in van.of_kind(eq.Charger):
        for source in van.sources_in(van.net(f"{ident}.out"), "battery"):
            if source.owner in van.leisure:
                yield ident, charger, source.owner, van.leisure[source.owner]
