"""One load alone, in the wiring without dead branches, is as in the whole wiring."""

import sys
from pathlib import Path

import pytest

from vandoc.physics.network.expand import build
from vandoc.physics.network.operating import SolvedState, Wiring
from vandoc.physics.network.single_loads import SingleLoads
from vandoc.physics.network.states import OperatingState
from vandoc.physics.sizing import size

sys.path.append(str(Path(__file__).parents[1] / "vans"))
from generated import generated


@pytest.mark.parametrize("seed", range(12))
def test_a_lone_load_is_as_in_the_whole_wiring(seed: int) -> None:
    system = generated(seed)
    network = build(system)
    sizing = size(system, network)
    wiring = Wiring(system, network, sizing.conductors, sizing.fuses)
    lone = SingleLoads(wiring, OperatingState.NIGHT)
    solved = 0
    for consumer in network.consumers:
        if consumer.kind not in ("load", "inverter"):
            continue
        whole = wiring.solve(OperatingState.NIGHT, frozenset([consumer.owner]))
        found = lone.solve(consumer)
        assert isinstance(whole, SolvedState) is hasattr(found, "amps")
        if isinstance(whole, SolvedState):
            solved += 1
            amps = {ident: found.amps.get(ident, 0.0) for ident in whole.amps}
            assert amps == pytest.approx(dict(whole.amps), abs=1e-7)
            assert found.device_amps == pytest.approx(whole.device_amps, abs=1e-7)
    assert solved >= 3
