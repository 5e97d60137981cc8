"""Whether the solved network of each operating state gives what is asked of it."""

from collections.abc import Iterator, Mapping
from typing import Literal

from vandoc.analysis import Van, exceeds
from vandoc.calc.fuse_time import holding_multiple
from vandoc.checks.amount import Amount
from vandoc.checks.capacity import capacity_steps, is_too_hot
from vandoc.checks.rule import Breach, Phrase, Word, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.network.graph import Consumer, Joint
from vandoc.network.states import OperatingState

INLET = " inlet"  # how a charger's or converter's draw is named


def _said(state: OperatingState) -> Phrase:
    return Phrase(f"state-{state.name.lower().replace('_', '-')}")


@rule("no-operating-point")
def operating_point(van: Van) -> Iterator[Breach]:
    """The wiring and its supplies can feed all that runs in a state."""
    named: set[str] = set()
    for state, failed in van.no_operating_point.items():
        loads = [name.removesuffix(INLET) for name in failed.loads]
        if named & set(loads) or not loads:
            continue
        named |= set(loads)
        yield Breach(
            "no-operating-point",
            loads[0],
            van.wiring_trail(loads[0]),
            {"name": van.names(loads), "state": _said(state), "share": Amount(100 * failed.share, "%")},
            steps=tuple(_most_power(van, loads)),
        )


def _most_power(van: Van, loads: list[str]) -> Iterator[Mapping[str, Word]]:
    """The most that a battery could send each of them alone: U² / 4R."""
    ohm_of = {battery.owner: van.battery_ohm(battery.owner) for battery in van.network.batteries()}
    for consumer in van.network.consumers:
        drop = van.sizing.drops.get(consumer.owner)
        nodes = van.net(consumer.plus)
        feeds = [battery for battery in van.sources_in(nodes, "battery") if battery.owner in van.leisure]
        if consumer.owner not in loads or drop is None or not feeds:
            continue
        ohms = sum(ohm for _, _, ohm in drop.steps) + min(ohm_of[battery.owner] for battery in feeds)
        yield {
            "load": van.name(consumer.owner),
            "volts": Amount(consumer.nominal_v, "V"),
            "ohms": Amount(1000 * ohms, "mΩ"),
            "most": Amount(consumer.nominal_v**2 / (4 * ohms), "W"),
            "asked": Amount(consumer.amps_a * consumer.nominal_v, "W"),
        }


@rule("below-lowest-voltage")
def lowest(van: Van) -> Iterator[Breach]:
    """What works down to some voltage only gets it in every state in which it runs."""
    for consumer in van.network.consumers:
        least = lowest_v(van, consumer)
        arriving = [
            (volts, solved)
            for solved in van.solved.values()
            if consumer.owner in solved.device_amps
            and (volts := solved.across_v(consumer.plus, consumer.minus)) is not None
        ]
        if least is None or not arriving:
            continue
        volts, solved = min(arriving, key=lambda pair: pair[0])
        if not exceeds(least, volts):
            continue
        drop = van.sizing.drops.get(consumer.owner)
        way = [edge_id for edge_id, _, _ in drop.steps] if drop else []
        losses = solved.losses(van.network, consumer.plus, consumer.minus, way)
        lost = sum(lost_v for _, lost_v in losses)
        yield Breach(
            "below-lowest-voltage",
            consumer.owner,
            van.wiring_trail(consumer.owner),
            {
                "name": van.name(consumer.owner),
                "state": _said(solved.state),
                "volts": Amount(volts + lost, "V"),
                "lost": Amount(lost, "V"),
            },
            Amount(volts, "V"),
            Amount(least, "V"),
            steps=tuple(
                {
                    "part": edge_id,
                    "amps": Amount(lost_v / solved.ohms[edge_id], "A"),
                    "ohms": Amount(1000 * solved.ohms[edge_id], "mΩ"),
                    "volts": Amount(lost_v, "V"),
                }
                for edge_id, lost_v in losses
            ),
        )


def lowest_v(van: Van, consumer: Consumer) -> float | None:
    """Return the voltage down to which a consumer works, where the file states it. [V]"""
    if consumer.kind == "load":
        return van.system.loads[consumer.owner].lowest_v
    piece = van.system.equipment[consumer.owner]
    return piece.lowest_v if isinstance(piece, eq.Inverter) else None


@rule("state-current-above-capacity")
def shared(van: Van) -> Iterator[Breach]:
    """A cable carries what runs through it in each state, also where that is more than it was sized for."""
    for sized in van.sizing.conductors.values():
        conductor = sized.conductor
        if conductor.vehicle or conductor.signal or not sized.capacities or is_too_hot(sized):
            continue
        if exceeds(sized.design_a, sized.capacity_a):
            continue  # said of its capacity
        solved = van.hardest(conductor.id)
        if solved is None or not exceeds(abs(solved.amps[conductor.id]), sized.capacity_a):
            continue
        yield Breach(
            "state-current-above-capacity",
            van.subject(conductor),
            conductor.trail,
            {
                "cable": conductor.id,
                "size": sized.size,
                "state": _said(solved.state),
                "temperature": Amount(solved.temperature_c(conductor.id), "°C"),
            },
            Amount(abs(solved.amps[conductor.id]), "A"),
            Amount(sized.capacity_a, "A"),
            cited=sized.capacities[:1],
            steps=capacity_steps(sized),
        )


@rule("state-current-above-fuse")
def fused(van: Van) -> Iterator[Breach]:
    """A fuse holds what runs through it in each state, also where that is more than it was sized for."""
    for sized in van.sizing.fuses.values():
        solved = van.hardest(sized.link.id)
        if solved is None or exceeds(sized.design_a, sized.rating_a):
            continue  # said of its design current
        multiple = holding_multiple(sized.link.family)
        if exceeds(abs(solved.amps[sized.link.id]), multiple * sized.rating_a):
            yield Breach(
                "state-current-above-fuse",
                van.fuse_subject(sized.link),
                sized.link.trail,
                {
                    "fuse": van.fuse_name(sized.link),
                    "rating": Amount(sized.rating_a, "A"),
                    "multiple": Amount(multiple),
                    "state": _said(solved.state),
                },
                Amount(abs(solved.amps[sized.link.id]), "A"),
                Amount(multiple * sized.rating_a, "A"),
            )


@rule("relay-drains-leisure")
def reverse(van: Van) -> Iterator[Breach]:
    """The relay that charges the leisure battery sends nothing back from it while the engine runs."""
    solved = van.solved.get(OperatingState.DRIVING)
    if solved is None:
        return
    for joint in van.network.joints.values():
        towards = _away_from_starter(van, joint)
        back = -towards * solved.amps[joint.id]
        if not towards or back <= constant("reverse current").value:
            continue
        relay = van.system.equipment[joint.owner]
        yield Breach(
            "relay-drains-leisure",
            joint.owner,
            van.trail(joint.owner),
            {"relay": relay.name, "state": _said(solved.state)},
            Amount(back, "A"),
            Amount(constant("reverse current").value, "A"),
            cited=(constant("reverse current"),),
        )


def _away_from_starter(van: Van, joint: Joint) -> Literal[-1, 0, 1]:
    """1 where current from start to end charges a leisure battery, -1 the other way, 0 for other contacts."""
    if not van.is_split_charge(joint):
        return 0
    sides = [
        {van.is_leisure(battery.owner) for battery in van.sources_in(van.net(node), "battery")}
        for node in (joint.start, joint.end)
    ]
    if sides == [{False}, {True}]:
        return 1
    return -1 if sides == [{True}, {False}] else 0
