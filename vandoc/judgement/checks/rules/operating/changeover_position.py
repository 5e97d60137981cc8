"""Each cable can be loaded as in the other position of a changeover switch."""

from collections.abc import Iterator
from functools import partial

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.capacity import is_too_hot
from vandoc.model import equipment as eq
from vandoc.physics.network import isolation
from vandoc.physics.network.positions import turned


@rule(fail("changeover-overloads", sizes.next_thicker), fail("changeover-keeps-live"))
def other_position(van: Van) -> Iterator[Breach]:
    """Each cable can be loaded as in the other position of a changeover switch."""
    for ident, switch in van.of_kind(eq.ChangeoverSwitch):
        other = van.changed_with(partial(turned, ident=ident))
        position = switch.turned().position
        if alive := _kept_live(van, other):
            words = {"switch": switch.name, "position": position, "names": van.names(sorted(alive))}
            yield Breach("changeover-keeps-live", ident, van.trail(ident), words)
        for sized in other.sizing.conductors.values():
            conductor, here = sized.conductor, van.sizing.conductors[sized.conductor.id]
            if conductor.vehicle or conductor.signal or not here.capacities or is_too_hot(here):
                continue
            if exceeds(sized.design_a, here.capacity_a) and not exceeds(here.design_a, here.capacity_a):
                yield Breach(
                    "changeover-overloads",
                    van.subject(conductor),
                    conductor.trail,
                    {
                        "cable": conductor.id,
                        "size": here.size,
                        "switch": switch.name,
                        "position": position,
                    },
                    Amount(sized.design_a, "A"),
                    Amount(here.capacity_a, "A"),
                    cited=here.capacities[:1],
                )


def _kept_live(van: Van, other: Van) -> frozenset[str]:
    """Return the loads that the other position keeps live after the last step of isolation."""
    found = [
        isolation.live(one.system, one.network, isolation.safest(one.system, one.network)).all_pieces
        for one in (van, other)
    ]
    return (found[1] - found[0]) & van.system.loads.keys()
