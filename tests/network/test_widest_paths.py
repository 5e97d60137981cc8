"""The widest ways against SciPy: fuses of a rating and more join a terminal to a start, or do not."""

from dataclasses import replace
from math import inf
from random import Random

import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from vandoc.physics.network.graph import FuseLink, Joint, Network
from vandoc.physics.network.widest_paths import WidestPaths

RATINGS_A = (3.0, 5.0, 10.0, 30.0)


def random_network(pick):
    """Terminals joined at random by contacts and fuses, with loops, parallel ways and parts left alone."""
    count = pick.randint(4, 14)
    joints, fuses = {}, {}
    for number in range(pick.randint(count // 2, 2 * count)):
        start, end = (f"t{node}" for node in pick.sample(range(count), 2))
        name = f"e{number}"
        if pick.random() < 0.5:
            joints[name] = Joint(name, start, end, "common", "thing")
        else:
            rating = pick.choice(RATINGS_A)
            fuses[name] = FuseLink(name, start, end, "thing", None, "C", rating, None, None, ("thing",))
    return Network({}, joints, fuses, (), (), {f"t{node}": "box" for node in range(count)})


def by_scipy(network, starts):
    """The largest rating by which each terminal hangs together with a start, infinity by contacts alone."""
    number = {node: place for place, node in enumerate(network.places)}
    found = dict.fromkeys(starts, inf)
    for width in (*RATINGS_A, inf):
        edges = [e for e in network.edges() if not isinstance(e, FuseLink) or e.rating_a >= width]
        rows, columns = [number[e.start] for e in edges], [number[e.end] for e in edges]
        matrix = coo_matrix(([1] * len(edges), (rows, columns)), shape=(len(number), len(number)))
        _, part = connected_components(matrix, directed=False)
        joined = {part[number[node]] for node in starts}
        found |= {node: width for node in number if part[number[node]] in joined}
    return found


@pytest.mark.parametrize("seed", range(60))
def test_widest_ways_and_those_around_an_edge(seed):
    pick = Random(seed)
    network = random_network(pick)
    ratings = {link.id: link.rating_a for link in network.fuses.values()}
    starts = pick.sample(list(network.places), pick.randint(1, 2))
    widest = WidestPaths(network, starts, ratings)
    assert widest.best == by_scipy(network, starts)
    for edge in network.edges():
        joints = {name: joint for name, joint in network.joints.items() if name != edge.id}
        fuses = {name: fuse for name, fuse in network.fuses.items() if name != edge.id}
        left = by_scipy(replace(network, joints=joints, fuses=fuses), starts)
        assert widest.without(edge) == (left.get(edge.start, 0.0), left.get(edge.end, 0.0))
