"""An ignition feed is a wire, and it is live only while the engine runs."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.model import equipment as eq
from vandoc.physics.network import isolation
from vandoc.physics.network.graph import Joint, Network


@rule(fail("ignition-feed-always-live"), review("ignition-feed-missing"), review("start-stop-drains"))
def ignition_feed(van: Van) -> Iterator[Breach]:
    """An ignition feed is a wire, and it is live only while the engine runs."""
    parked = isolation.live(van.system, van.network, isolation.Condition(engine=False, hook_up=False))
    halting = [v.name for _, v in van.of_kind(eq.VehicleSource) if v.stops_at_halts()]
    for source in van.network.sources:
        if not source.waits_for_engine:
            continue
        ident, signal = source.owner, f"{source.owner}.ignition"
        words = {"charger": van.name(ident)}
        origins = [name for name, held in parked.terminals.items() if signal in held]
        if not van.cables_at(signal):
            yield Breach("ignition-feed-missing", ident, van.trail(ident), words)
        elif origins:
            trail = van.cables_at(signal)[0].trail
            yield Breach("ignition-feed-always-live", ident, trail, words | {"origin": van.names(origins)})
        elif halting and not _is_from_engine(van, signal):
            here = words | {"alternator": "', '".join(halting)}
            yield Breach("start-stop-drains", ident, van.trail(ident), here)


def _is_from_engine(van: Van, signal: str) -> bool:
    """Whether a contact that is closed only while the engine runs feeds a terminal."""
    contacts = {ident for ident, piece in van.of_kind(eq.IgnitionContact) if piece.live_with == "engine"}
    return any(joint.owner in contacts for joint in _contacts(van.network, signal))


def _contacts(network: Network, signal: str) -> Iterator[Joint]:
    reached = network.flood([signal], lambda edge: not (isinstance(edge, Joint) and edge.with_engine))
    for joint in network.joints.values():
        if joint.with_engine and {joint.start, joint.end} & reached:
            yield joint
