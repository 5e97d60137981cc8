"""With every battery isolator off, nothing but the sources' own cables and controllers is live."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.physics.network import isolation


@rule(fail("live-when-off"), review("live-from-starter"))
def off(van: Van) -> Iterator[Breach]:
    """With every battery isolator off, nothing but the sources' own cables and controllers is live.

    The engine is stopped, the hook-up unplugged and inverters are off; light falls on the panels.
    """
    if not any(joint.kind == "isolator" for joint in van.network.joints.values()):
        return  # reported as a missing isolator
    alive = isolation.live(van.system, van.network, isolation.safest(van.system, van.network))
    by_kind = {source.owner: source.kind for source in van.network.sources}
    for origin, terminals in alive.terminals.items():
        found = [*_boards(van, terminals), *_devices(van, terminals)]
        if found and origin not in van.leisure:
            slug = "live-when-off" if by_kind.get(origin) == "solar" else "live-from-starter"
            words: dict[str, Word] = {
                "source": van.name(origin),
                "count": len(found),
                "first": van.name(found[0]),
            }
            yield Breach(slug, origin, van.trail(origin), words)


def _boards(van: Van, terminals: frozenset[str]) -> list[str]:
    """Return the fuse boards with a live supply that a leisure battery supplies too."""
    leisure = {node for ident in van.leisure for node in van.network.joined(f"{ident}.+")}
    both = terminals & leisure
    links = (link for link in van.network.fuses.values() if link.position is not None)
    return list(dict.fromkeys(link.owner for link in links if link.start in both))


def _devices(van: Van, terminals: frozenset[str]) -> list[str]:
    """Return the live loads, inverters and converters, without those that are kept live on purpose."""
    loads = van.system.loads
    kinds = ("load", "inverter", "converter")
    owners = [c.owner for c in van.network.consumers if c.kind in kinds and c.plus in terminals]
    return [owner for owner in owners if owner not in loads or not loads[owner].kept_live]
