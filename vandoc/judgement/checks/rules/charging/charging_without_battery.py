"""A charger is not left without the battery that it charges."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, Phrase, Word, fail, rule
from vandoc.judgement.checks.shared.profiles import pairs_of
from vandoc.model import equipment as eq
from vandoc.physics.network.graph import Edge, Joint, splits_charge

OPENS = ("isolator", "breaker", "changeover", "disconnect")


@rule(
    fail("charger-trips-battery", pieces.absorption),
    fail("charger-behind-disconnect"),
    fail("charger-loses-battery"),
    fail("controller-left-with-panels"),
)
def without_battery(van: Van) -> Iterator[Breach]:
    """A charger is not left without the battery that it charges."""
    for ident, charger, _, battery in pairs_of(van):
        words: dict[str, Word] = {"charger": van.name(ident), "battery": battery.name}
        limit = battery.over_voltage_v
        highest = charger.profile.absorption_v if charger.profile else None
        if limit is not None and highest is not None and not exceeds(limit, highest):
            value, most = Amount(highest, "V"), Amount(limit, "V")
            trail = (*van.trail(ident), "profile", "absorption_v")
            yield Breach("charger-trips-battery", ident, trail, words, value, most, (Phrase("stated"),))
    for ident, charger in van.of_kind(eq.Charger):
        found = _openings(van, ident)
        if found is None:
            continue
        words = {"charger": van.name(ident)}
        if found.disconnects:
            here = words | {"disconnect": van.names(found.disconnects)}
            yield Breach("charger-behind-disconnect", ident, van.trail(ident), here)
        if charger.may_lose_battery:
            continue
        unknown, trail = charger.may_lose_battery is None, (*van.trail(ident), "may_lose_battery")
        solar = charger.source == "solar"
        parting = found.by_themselves if solar else [*found.by_hand, *found.by_themselves]
        if parting:
            here = words | {"contact": van.names(parting)}
            yield Breach("charger-loses-battery", ident, trail, here, unknown=unknown)
        if solar and found.by_hand and not _has_switch(van, ident):
            here = words | {"contact": van.names(found.by_hand)}
            yield Breach("controller-left-with-panels", ident, trail, here, unknown=unknown)


@dataclass(frozen=True)
class _Openings:
    """What can part a charger from all its leisure batteries.

    Attributes
    ----------
    disconnects : list of str
        Load disconnects.
    by_hand : list of str
        Switches that somebody opens.
    by_themselves : list of str
        Circuit breakers, and batteries whose electronics disconnect them.
    """

    disconnects: list[str]
    by_hand: list[str]
    by_themselves: list[str]


def _openings(van: Van, charger: str) -> _Openings | None:
    """Return what can part a charger from all its leisure batteries; None if no battery is there."""
    out = f"{charger}.out"
    batteries = [s for s in van.sources_in(van.net(out), "battery") if s.owner in van.leisure]
    if not batteries:
        return None
    posts = {battery.plus for battery in batteries}
    found: list[Joint] = []
    for joint in van.network.joints.values():
        if joint.kind in OPENS and not _reaches(van, out, posts, joint):
            found.append(joint)
    own = [b.owner for b in batteries if _has_electronics(van.leisure[b.owner])]
    return _Openings(
        [joint.owner for joint in found if joint.kind == "disconnect"],
        [joint.owner for joint in found if joint.kind in ("isolator", "changeover")],
        [
            *(joint.owner for joint in found if joint.kind == "breaker"),
            *(own if len(own) == len(batteries) else []),
        ],
    )


def _has_electronics(battery: eq.Battery) -> bool:
    """Whether a battery can disconnect itself; one of which that is not known counts."""
    stated = battery.over_voltage_v is not None or battery.over_current_a is not None
    return stated or battery.traits.management is not False


def _reaches(van: Van, out: str, posts: set[str], without: Joint) -> bool:
    def passes(edge: Edge) -> bool:
        return edge is not without and not splits_charge(edge)

    return bool(posts & van.network.flood([out], passes))


def _has_switch(van: Van, charger: str) -> bool:
    """Whether every way from panels to a controller has a contact that is opened by hand."""

    def passes(edge: Edge) -> bool:
        return not (isinstance(edge, Joint) and edge.kind in ("isolator", "switch", "breaker"))

    reached = van.network.flood([f"{charger}.pv+"], passes)
    return not van.sources_in(reached, "solar")
