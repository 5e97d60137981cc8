"""What a hand-over proves besides figures of cables: isolation, cut-off and recovery, inverters, alarms."""

from collections.abc import Iterator

from vandoc.analysis.commissioning.measurement import Measurement, cited
from vandoc.ground.data import constant
from vandoc.model.system import CompletedSystem
from vandoc.physics.network import isolation
from vandoc.physics.network.graph import Network


def proofs(system: CompletedSystem, network: Network) -> Iterator[Measurement]:
    """Yield the proofs of a van."""
    yield from _isolated(system, network)
    yield from _alarms(system)
    yield from _cut_offs(system)
    yield from _inverters(system, network)


def _isolated(system: CompletedSystem, network: Network) -> Iterator[Measurement]:
    """At each fuse board with every isolator off: dead in the dark, and with light on the panels.

    A board that the design itself keeps live is left out: a check tells of it.
    """
    isolators = {joint.owner for joint in network.joints.values() if joint.kind == "isolator"}
    if not isolators:
        return
    most = constant("dead terminal")
    minus = next((f"{ident}.-" for ident in system.leisure), None)
    kinds = [("isolated", False)]
    if any(source.charges_from == "solar" for source in network.sources):
        kinds.append(("isolated-by-day", True))
    for kind, light in kinds:
        off = isolation.Condition(engine=False, hook_up=False, light=light, opened=frozenset(isolators))
        live = isolation.live(system, network, off)
        fed = {terminal for terminals in live.terminals.values() for terminal in terminals}
        for ident, piece in system.equipment.items():
            held = piece.positions()
            if held is None or minus is None or f"{ident}.{held.feed}" in fed:
                continue
            places = (f"{ident}.{held.feed}", minus)
            yield Measurement(f"{kind}.{ident}", "power-up", places, 0.0, None, most.value, cited(most))


def _alarms(system: CompletedSystem) -> Iterator[Measurement]:
    """Each alarm sounds, by test gas or test smoke at its sensor."""
    most = constant("longest answer of an alarm")
    for ident in dict.fromkeys(alarm.load or f"{alarm.place} {alarm.detects}" for alarm in system.alarms):
        yield Measurement(f"alarm.{ident}", "power-up", (ident,), None, None, most.value, cited(most))


def _cut_offs(system: CompletedSystem) -> Iterator[Measurement]:
    """Voltages at which a load is cut off, or an alarm warns, and at which a load comes back."""
    tolerance = constant("cut-off tolerance")
    margin = tolerance.value * system.van.nominal_v / 12
    for ident, piece in system.equipment.items():
        found = piece.cuts_off()
        if found is None or found.volts_v is None or found.how == "battery":
            continue
        volts, place = found.volts_v, (ident,)
        low, high, source = volts - margin, volts + margin, cited(tolerance)
        yield Measurement(f"cut-off.{ident}", "under load", place, volts, low, high, source)
        if found.how in ("load", "disconnect"):
            back = found.recovers_v
            low, most = (volts, None) if back is None else (back - margin, back + margin)
            yield Measurement(f"recovery.{ident}", "under load", place, back, low, most, source)


def _inverters(system: CompletedSystem, network: Network) -> Iterator[Measurement]:
    """The voltage at each inverter while it carries its rated power."""
    usual = constant("least inverter voltage per 12 V")
    for consumer in network.consumers:
        if consumer.kind != "inverter":
            continue
        stated = system.equipment[consumer.owner].least_v()
        least = usual.value * consumer.nominal_v / 12 if stated is None else stated
        yield Measurement(
            f"full-load.{consumer.owner}",
            "under load",
            (consumer.plus, consumer.minus),
            None,
            least,
            None,
            cited(usual) if stated is None else (),
            running=consumer.owner,
        )
