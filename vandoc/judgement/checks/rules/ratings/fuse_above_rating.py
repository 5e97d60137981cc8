"""The fuse upstream of an item of equipment blows before the item is overloaded."""

from collections.abc import Iterator
from math import isfinite, isinf

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.cures.pieces import or_more
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.ratings import contact, node_of, rated
from vandoc.model.traits import Carries
from vandoc.physics.network.graph import Edge, FuseLink, far_end


@rule(fail("fuse-above-rating", sizes.smaller_fuse, or_more("rating_a", "A")))
def fuse(van: Van) -> Iterator[Breach]:
    """The fuse upstream of an item of equipment blows before the item is overloaded."""
    for ident, carries in rated(van):
        amps, link = _fused_at(van, ident, carries)
        if carries.limit_a is not None and link is not None and exceeds(amps, carries.limit_a):
            yield Breach(
                "fuse-above-rating",
                ident,
                van.trail(ident),
                {"name": van.name(ident), "fuse": van.fuse_name(link)},
                Amount(amps, "A"),
                Amount(carries.limit_a, "A"),
            )


def _fused_at(van: Van, ident: str, carries: Carries) -> tuple[float, FuseLink | None]:
    """Return the current that the fuses allow through an item, and the deciding fuse, if any. [A]"""
    joint = contact(van, ident)
    if joint is not None and joint.kind == "shunt":
        return _largest(van, _first_fuses(van, ident))
    if joint is None:
        node = node_of(ident, carries)
        return (0.0, None) if node in van.network.negative else _way_to(van, node, None)
    found = []
    for near in (joint.start, joint.end):
        amps, link = _way_to(van, near, joint)
        if isinf(amps):
            amps, link = _largest(van, _next_fuses(van, far_end(joint, near), joint))
        found.append((amps, link))
    return max(found, key=lambda pair: pair[0])


def _way_to(van: Van, node: str, without: Edge | None) -> tuple[float, FuseLink | None]:
    """Return the rating that limits the worst path from a battery to a terminal, and its fuse. [A]"""
    if without is None:
        width = van.widest.best.get(node, 0.0)
    else:
        width = van.widest.without(without)[0 if node == without.start else 1]
    if not isfinite(width) or width == 0:
        return width, None
    way = van.paths_of(width)(node) or []
    if without is not None and without in way:
        way = van.paths_of(width, without)(node) or []
    links = [edge for edge in way if isinstance(edge, FuseLink)]
    return width, min(links, key=lambda link: van.ratings[link.id])


def _next_fuses(van: Van, node: str, without: Edge) -> list[FuseLink]:
    region = van.network.flood([node], lambda edge: edge is not without and not isinstance(edge, FuseLink))
    return [link for link in van.network.fuses.values() if {link.start, link.end} & region]


def _first_fuses(van: Van, shunt: str) -> list[FuseLink]:
    """Return the main fuses of the batteries whose negative terminals are connected to a shunt."""
    side = van.network.flood([f"{shunt}.battery"], lambda edge: getattr(edge, "kind", "") != "shunt")
    posts = [source.plus for source in van.network.batteries() if source.minus in side]
    region = van.network.flood(posts, lambda edge: not isinstance(edge, FuseLink))
    return [link for link in van.network.fuses.values() if {link.start, link.end} & region]


def _largest(van: Van, links: list[FuseLink]) -> tuple[float, FuseLink | None]:
    if not links:
        return 0.0, None
    link = max(links, key=lambda link: van.ratings[link.id])
    return van.ratings[link.id], link
