"""Each leisure battery has a battery isolator that disconnects it from everything else."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.physics.network.graph import Edge, Joint


@rule(fail("no-isolator"), review("bypasses-isolator"))
def isolation(van: Van) -> Iterator[Breach]:
    """Each leisure battery has a battery isolator that disconnects it from everything else.

    A charger may be on the battery's side, because it feeds nothing else there; so may a load that the file
    keeps live on purpose, and a relay that opens with the engine stopped.
    """
    for ident in van.leisure:
        reached = van.network.flood([f"{ident}.+"], _not_isolator)
        at_battery = any(
            joint.kind == "isolator" and _disconnects(van, reached, joint)
            for joint in van.network.joints.values()
        )
        users = _bypassing(van, ident) if at_battery else _users(van, reached)
        if users:
            words = {"battery": van.name(ident), "user": van.names(users)}
            slug = "bypasses-isolator" if at_battery else "no-isolator"
            yield Breach(slug, ident, van.trail(ident), words)


def _disconnects(van: Van, reached: set[str], joint: Joint) -> bool:
    """Whether an isolator disconnects anything from the terminals that are reached without it."""
    beyond = {joint.start, joint.end} - reached
    if len(beyond) != 1:
        return False
    served = van.network.flood(beyond, _not_isolator)
    return bool(van.consumers_in(served) or van.sources_in(served))


def _users(van: Van, reached: set[str]) -> list[str]:
    users = [c.owner for c in van.consumers_in(reached) if c.kind != "monitor"]
    return users + [s.owner for s in van.sources_in(reached) if s.owner not in van.leisure]


def _bypassing(van: Van, battery: str) -> list[str]:
    """Return what stays connected to a battery by mistake when its isolator is off and the van is parked."""
    reached = van.network.flood([f"{battery}.+"], _parked)
    loads = van.system.loads
    consumers = [c.owner for c in van.consumers_in(reached) if c.kind != "monitor"]
    users = [owner for owner in consumers if owner not in loads or not loads[owner].kept_live]
    others = [s for s in van.sources_in(reached) if s.kind != "charger" and s.owner not in van.leisure]
    return users + [source.owner for source in others]


def _not_isolator(edge: Edge) -> bool:
    return not (isinstance(edge, Joint) and edge.kind == "isolator")


def _parked(edge: Edge) -> bool:
    return _not_isolator(edge) and not (isinstance(edge, Joint) and edge.with_engine)
