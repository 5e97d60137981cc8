from math import sqrt
from random import Random

import pytest

from vandoc.ground.calc.elimination import Elimination, NotPositive
from vandoc.ground.calc.nodal import Nodal


@pytest.mark.parametrize("seed", range(30))
def test_resistances_of_all_pairs_are_those_found_one_by_one(seed):
    pick = Random(seed)
    count = pick.randint(2, 20)
    siemens = {(i, pick.randrange(i)): 10 ** pick.uniform(-2, 4) for i in range(1, count)}
    for _ in range(count):
        a, b = sorted(pick.sample(range(count), 2), reverse=True)
        siemens.setdefault((a, b), pick.choice([0.0, 10 ** pick.uniform(-2, 4)]))
    elimination = Elimination(count, tuple(siemens), {0})
    found = elimination.resistances(elimination.factor(tuple(siemens.values())))
    net = Nodal(map(str, range(count)), "0")
    for (a, b), conductance in siemens.items():
        if conductance:
            net.resistor(str(a), str(b), 1 / conductance)
    for (a, b), ohm in zip(siemens, found, strict=True):
        assert ohm == pytest.approx(net.thevenin(str(a), str(b))[1], rel=1e-9)


@pytest.mark.parametrize("seed", range(30))
def test_the_answer_of_a_few_nodes_is_that_of_the_whole(seed):
    pick = Random(seed)
    count = pick.randint(2, 25)
    siemens = {(i, pick.randrange(i)): 10 ** pick.uniform(-2, 4) for i in range(1, count)}
    for _ in range(pick.randint(0, count)):
        siemens.setdefault(tuple(sorted(pick.sample(range(count), 2), reverse=True)), 1.0)
    elimination = Elimination(count, tuple(siemens), {0})
    shares = elimination.factor(tuple(siemens.values()))
    currents = {node: pick.uniform(-9, 9) for node in pick.sample(range(count), pick.randint(1, 2))}
    whole = elimination.solve(shares, [currents.get(node, 0.0) for node in range(count)])
    net = Nodal(map(str, range(count)), "0")
    for (a, b), conductance in siemens.items():
        net.resistor(str(a), str(b), 1 / conductance)
    for node, amps in currents.items():
        if node:
            net.current(str(node), "0", amps)
    solved = net.solve()
    asked = pick.sample(range(count), pick.randint(1, min(3, count)))
    found = elimination.answer(shares, currents, asked)
    for node in asked:
        assert found[node] == pytest.approx(whole[node], rel=1e-9, abs=1e-12)
        assert found[node] == pytest.approx(solved[str(node)], rel=1e-9, abs=1e-12)


def test_a_ladder_without_end_shows_the_golden_ratio():
    # Textbook problem: 1 Ω along, 1 Ω across, again and again: (1 + √5) / 2 ohm.
    rungs = 40
    along = [(k, k + 1) for k in range(1, rungs)]
    across = [(k, 0) for k in range(2, rungs + 1)]
    elimination = Elimination(rungs + 1, [*along, *across, (1, 0)], {0})
    found = elimination.resistances(elimination.factor([1.0] * (len(along) + len(across)) + [0.0]))
    assert found[-1] == pytest.approx((1 + sqrt(5)) / 2, rel=1e-12)


def test_a_matrix_that_is_not_positive_definite_is_refused():
    elimination = Elimination(3, [(0, 1), (1, 2)], {0})
    for siemens in ([1.0, 0.0], [1.0, -1.0], [-1.0, 0.5]):
        with pytest.raises(NotPositive):
            elimination.factor(siemens)
