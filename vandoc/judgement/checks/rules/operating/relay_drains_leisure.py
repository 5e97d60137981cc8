"""A split-charge relay does not discharge the leisure battery while the engine runs."""

from collections.abc import Iterator
from typing import Literal

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.operating import said
from vandoc.physics.network.graph import Joint, splits_charge
from vandoc.physics.network.states import OperatingState


@rule(review("relay-drains-leisure"))
def reverse(van: Van) -> Iterator[Breach]:
    """A split-charge relay does not discharge the leisure battery while the engine runs."""
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
            {"relay": relay.name, "state": said(solved.state)},
            Amount(back, "A"),
            Amount(constant("reverse current").value, "A"),
            cited=(constant("reverse current"),),
        )


def _away_from_starter(van: Van, joint: Joint) -> Literal[-1, 0, 1]:
    """Return 1 if current from start to end charges a leisure battery, -1 if reverse, otherwise 0."""
    if not splits_charge(joint):
        return 0
    sides = [
        {van.is_leisure(battery.owner) for battery in van.sources_in(van.net(node), "battery")}
        for node in (joint.start, joint.end)
    ]
    if sides == [{False}, {True}]:
        return 1
    return -1 if sides == [{True}, {False}] else 0
