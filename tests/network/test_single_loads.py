"""One load alone, in the wiring without dead branches, is as in the whole wiring."""

import sys
from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.single_loads import SingleLoads
from vandoc.physics.network.states import OperatingState

sys.path.append(str(Path(__file__).parents[1] / "vans"))
from generated import generated


@pytest.mark.parametrize("seed", range(12))
def test_a_lone_load_is_as_in_the_whole_wiring(seed: int) -> None:
    van = Van(generated(seed))
    wiring, network = van.wiring, van.network
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
