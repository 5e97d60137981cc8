"""Each leisure battery has a battery isolator that disconnects it from everything else."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.physics.network.graph import Edge, Joint


@rule(fail("no-isolator"), review("bypasses-isolator"))
def isolation(van: Van) -> Iterator[Breach]:
    """Each leisure battery has a battery isolator that disconnects it from everything else."""
    for ident in van.leisure:
        reached = van.network.flood([f"{ident}.+"], _not_isolator)
        everything = van.network.joined(f"{ident}.+")
        users = [c.owner for c in van.consumers_in(reached) if c.kind != "monitor"]
        users += [s.owner for s in van.network.sources if s.plus in reached and s.owner not in van.leisure]
        if not users:
            continue
        words = {"battery": van.name(ident), "user": van.names(users)}
        isolated = any(joint.kind == "isolator" and joint.start in everything for joint in _joints(van))
        at_battery = any(
            joint.kind == "isolator" and {joint.start, joint.end} & reached for joint in _joints(van)
        )
        slug = "bypasses-isolator" if isolated and at_battery else "no-isolator"
        yield Breach(slug, ident, van.trail(ident), words)


def _joints(van: Van) -> Iterator[Joint]:
    yield from van.network.joints.values()


def _not_isolator(edge: Edge) -> bool:
    return not (isinstance(edge, Joint) and edge.kind == "isolator")
