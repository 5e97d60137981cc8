"""The fuse of a socket is no larger than the socket's rating: anyone may plug in too much."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.physics.network.graph import FuseLink


@rule(fail("outlet-overfused"))
def outlet_overfused(van: Van) -> Iterator[Breach]:
    """The fuse of a socket is no larger than the socket's rating: anyone may plug in too much."""
    starts = [source.plus for source in van.network.sources if source.kind in ("battery", "converter")]
    for ident, load in van.system.loads.items():
        if load.outlet is None:
            continue
        way = van.network.path(starts, f"{ident}.+") or []
        links = [edge for edge in way if isinstance(edge, FuseLink)]
        if not links:
            continue
        link = min(links, key=lambda link: van.ratings[link.id])
        value, words = Amount(van.ratings[link.id], "A"), {"load": load.name, "fuse": van.fuse_name(link)}
        if load.outlet.rating_a is None:
            yield Breach("outlet-overfused", ident, van.trail(ident), words, value, unknown=True)
        elif exceeds(value.value, load.outlet.rating_a):
            limit = Amount(load.outlet.rating_a, "A")
            yield Breach("outlet-overfused", ident, van.trail(ident), words, value, limit)
