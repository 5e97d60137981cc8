"""What is reached around a terminal, held against walking the wiring anew for each question."""

from random import Random

import pytest

from vandoc.physics.network.cuts import Cuts
from vandoc.physics.network.graph import Joint, Network


def by_chance(pick: Random) -> tuple[Network, list[str]]:
    nodes = [f"n{number}" for number in range(pick.randint(3, 12))]
    joints = {}
    for number in range(pick.randint(2, 18)):
        start, end = pick.sample(nodes, 2)  # two edges may join the same terminals
        joints[f"e{number}"] = Joint(f"e{number}", start, end, "switch", "piece")
    return Network({}, joints, {}, (), (), {}), pick.sample(nodes, pick.randint(1, 3))


@pytest.mark.parametrize("seed", range(200))
def test_cuts_answer_what_a_new_walk_answers(seed: int) -> None:
    network, starts = by_chance(Random(seed))
    edges = list(network.edges())
    for without in (None, *edges):
        cuts = Cuts(network, starts, without)
        for edge in edges:
            if edge is without:
                continue
            for near, far in ((edge.start, edge.end), (edge.end, edge.start)):
                shut = {e.id for e in network.at(far)} | ({without.id} if without else set())
                walked = network.flood(starts, lambda other, shut=shut: other.id not in shut)
                assert cuts.reaches(near, around=far) == (near in walked), (near, far)


@pytest.mark.parametrize("seed", range(200))
def test_a_bridge_is_the_only_way_to_what_is_beyond_it(seed: int) -> None:
    network, starts = by_chance(Random(seed))
    cuts, whole = Cuts(network, starts), network.flood(starts)
    for edge in network.edges():
        lost = whole - network.flood(starts, lambda other, edge=edge: other is not edge)
        assert cuts.is_bridge(edge) == bool(lost)
        if lost:
            assert {node for node in whole if cuts.is_beyond(edge, node)} == lost
