from fractions import Fraction
from math import inf, nan
from random import Random

import pytest

from vandoc.ground.calc.nodal import FloatingNodes, Nodal


class Net:
    """Random elements, told to Nodal, to ngspice and to an exact solver alike."""

    def __init__(self, seed: int) -> None:
        pick = Random(seed)
        count = pick.randint(2, 25)
        self.nodes = ["0", *(f"n{i}" for i in range(1, count))]
        self.resistors = [
            # A tree first, so that every node is connected, then parallel paths and loops.
            (self.nodes[i], self.nodes[pick.randrange(i)], self.ohm(pick))
            for i in range(1, count)
        ]
        for _ in range(pick.randint(0, count) if count > 2 else 1):
            a, b = pick.sample(self.nodes, 2)
            self.resistors.append((a, b, self.ohm(pick)))
        self.sources = [
            (*pick.sample(self.nodes, 2), round(pick.uniform(-30, 60), 2), self.ohm(pick))
            for _ in range(pick.randint(1, 3))
        ]
        self.currents = [
            (*pick.sample(self.nodes, 2), round(pick.uniform(-50, 50), 2)) for _ in range(pick.randint(0, 3))
        ]

    @staticmethod
    def ohm(pick: Random) -> float:
        return round(10 ** pick.uniform(-4, 2), 6)

    def nodal(self) -> Nodal:
        net = Nodal(self.nodes, "0")
        for element in self.resistors:
            net.resistor(*element)
        for element in self.sources:
            net.source(*element)
        for element in self.currents:
            net.current(*element)
        return net

    def spice(self) -> list[str]:
        lines = [f"R{i} {a} {b} {ohm!r}" for i, (a, b, ohm) in enumerate(self.resistors)]
        for i, (plus, minus, volts, ohm) in enumerate(self.sources):
            lines += [f"V{i} inner{i} {minus} DC {volts!r}", f"RV{i} inner{i} {plus} {ohm!r}"]
        # ngspice drives the current through the source from the first node to the second.
        lines += [f"I{i} {out} {into} DC {amps!r}" for i, (into, out, amps) in enumerate(self.currents)]
        return lines

    def exact(self) -> dict[str, float]:
        """Solve the textbook matrix by Gauss-Jordan elimination in exact fractions."""
        size = len(self.nodes) - 1
        rows = [[Fraction(0)] * (size + 1) for _ in range(size)]
        index = {node: number - 1 for number, node in enumerate(self.nodes)}

        def conductance(a: str, b: str, siemens: Fraction) -> None:
            for p, q in ((index[a], index[b]), (index[b], index[a])):
                if p >= 0:
                    rows[p][p] += siemens
                    if q >= 0:
                        rows[p][q] -= siemens

        def current(into: str, out: str, amps: Fraction) -> None:
            for node, sign in ((index[into], 1), (index[out], -1)):
                if node >= 0:
                    rows[node][size] += sign * amps

        for a, b, ohm in self.resistors:
            conductance(a, b, 1 / Fraction(ohm))
        for plus, minus, volts, ohm in self.sources:
            conductance(plus, minus, 1 / Fraction(ohm))
            current(plus, minus, Fraction(volts) / Fraction(ohm))
        for into, out, amps in self.currents:
            current(into, out, Fraction(amps))
        for column in range(size):
            pivot = next(row for row in range(column, size) if rows[row][column])
            rows[column], rows[pivot] = rows[pivot], rows[column]
            rows[column] = [value / rows[column][column] for value in rows[column]]
            for row in range(size):
                if row != column and rows[row][column]:
                    factor = rows[row][column]
                    rows[row] = [a - factor * b for a, b in zip(rows[row], rows[column], strict=True)]
        return {"0": 0.0} | {node: float(rows[index[node]][size]) for node in self.nodes[1:]}


SEEDS = range(50)


@pytest.mark.parametrize("seed", SEEDS)
def test_random_networks_match_ngspice(seed, ngspice):
    net = Net(seed)
    ours = net.nodal().solve()
    theirs = ngspice(net.spice(), net.nodes[1:])
    scale = max(1.0, *map(abs, theirs.values()))
    for node, volts in theirs.items():
        # ngspice adds 1e-12 S at nodes and stops iterating at 1e-3 relative; its linear answers hold 1e-6.
        assert ours[node] == pytest.approx(volts, rel=1e-6, abs=1e-6 * scale)


@pytest.mark.parametrize("seed", SEEDS)
def test_random_networks_match_exact_fractions(seed):
    net = Net(seed)
    ours, exact = net.nodal().solve(), net.exact()
    scale = max(1.0, *map(abs, exact.values()))
    for node, volts in exact.items():
        assert ours[node] == pytest.approx(volts, rel=1e-12, abs=1e-12 * scale)


@pytest.mark.parametrize("seed", SEEDS)
def test_currents_at_each_node_add_up_to_nothing(seed):
    net = Net(seed)
    volts = net.nodal().solve()
    left = dict.fromkeys(net.nodes, 0.0)
    size = dict.fromkeys(net.nodes, 1e-9)
    flows = [(a, b, (volts[a] - volts[b]) / ohm) for a, b, ohm in net.resistors]
    flows += [
        (plus, minus, (volts[plus] - volts[minus] - emf) / ohm) for plus, minus, emf, ohm in net.sources
    ]
    flows += [(out, into, amps) for into, out, amps in net.currents]
    for tail, head, amps in flows:
        left[tail] -= amps
        left[head] += amps
        size[tail] += abs(amps)
        size[head] += abs(amps)
    for node in net.nodes:
        # Rounding of a node voltage shows through the smallest resistance, 100 µΩ.
        assert abs(left[node]) < 1e-9 * size[node] + 1e-9


def test_divider_by_hand():
    # 12.8 V behind 35 mΩ into 1.2 Ω: 3072/247 V (an exact symbolic solver gives the same fraction).
    net = Nodal(["p", "0"], "0")
    net.source("p", "0", 12.8, 0.035)
    net.resistor("p", "0", 1.2)
    assert net.solve() == {"p": pytest.approx(3072 / 247, rel=1e-15), "0": 0.0}


def test_wheatstone_bridge_by_hand():
    net = Nodal(["top", "left", "right", "0"], "0")
    net.source("top", "0", 10, 1e-9)
    net.resistor("top", "left", 100)
    net.resistor("left", "0", 200)
    net.resistor("top", "right", 50)
    net.resistor("right", "0", 100)
    net.resistor("left", "right", 7)
    volts = net.solve()
    assert volts["left"] == pytest.approx(20 / 3)
    assert volts["left"] - volts["right"] == pytest.approx(0, abs=1e-12), "a balanced bridge carries nothing"


def test_twelve_equal_resistors_on_the_edges_of_a_cube():
    # Classic textbook problem: across the long diagonal 5/6 R, along an edge 7/12 R, across a face 3/4 R.
    corners = [f"{x}{y}{z}" for x in "01" for y in "01" for z in "01"]
    net = Nodal(corners, "000")
    for a in corners:
        for b in corners:
            if a < b and sum(p != q for p, q in zip(a, b, strict=True)) == 1:
                net.resistor(a, b, 1)
    for other, ohm in (("111", 5 / 6), ("001", 7 / 12), ("011", 3 / 4)):
        assert net.thevenin(other, "000") == (0, pytest.approx(ohm, rel=1e-14))
        assert net.thevenin("000", other) == (0, pytest.approx(ohm, rel=1e-14))


@pytest.mark.parametrize("seed", range(20))
def test_thevenin_is_what_a_load_sees(seed):
    net = Net(seed)
    a, b = Random(seed).sample(net.nodes, 2)
    open_v, ohm = net.nodal().thevenin(a, b)
    loaded = net.nodal()
    loaded.resistor(a, b, 2.5)
    volts = loaded.solve()
    assert volts[a] - volts[b] == pytest.approx(open_v * 2.5 / (2.5 + ohm), rel=1e-9, abs=1e-9)


def test_two_batteries_share_a_load_by_their_resistance():
    net = Nodal(["plus", "minus"], "minus")
    net.source("plus", "minus", 12.8, 0.004)
    net.source("plus", "minus", 12.8, 0.008)
    net.current("minus", "plus", 90)
    volts = net.solve()["plus"]
    assert (12.8 - volts) / 0.004 == pytest.approx(60)
    assert (12.8 - volts) / 0.008 == pytest.approx(30)


def test_microohms_beside_megohms_keep_their_digits():
    net = Nodal(["battery", "bar", "lamp", "0"], "0")
    net.source("battery", "0", 12.8, 1e-3)
    net.resistor("battery", "bar", 1e-6)
    net.resistor("bar", "lamp", 1e6)
    net.resistor("lamp", "0", 1e6)
    net.resistor("bar", "0", 1e7)
    exact = Fraction(64, 5) * (Fraction(10**7) * Fraction(2 * 10**6) / Fraction(12 * 10**6))
    exact /= Fraction(10**7) * Fraction(2 * 10**6) / Fraction(12 * 10**6) + Fraction(1001, 10**6)
    assert net.solve()["bar"] == pytest.approx(float(exact), rel=1e-14)


def test_elements_added_later_count():
    net = Nodal(["p", "0"], "0")
    net.source("p", "0", 12, 1)
    assert net.solve()["p"] == 12
    net.resistor("p", "0", 1)
    assert net.solve()["p"] == 6
    net.current("0", "p", 2)
    assert net.solve()["p"] == 5


def test_floating_nodes_are_named():
    net = Nodal(["0", "a", "c", "b"], "0")
    net.resistor("0", "a", 1)
    net.source("c", "b", 12, 1)
    with pytest.raises(FloatingNodes, match="b, c") as error:
        net.solve()
    assert error.value.nodes == ("b", "c")
    assert isinstance(error.value, ValueError)
    with pytest.raises(FloatingNodes):
        net.thevenin("a", "0")
    net.resistor("a", "b", 1)
    assert net.solve()["c"] == pytest.approx(12)


def test_a_lone_reference_is_a_network():
    assert Nodal(["0"], "0").solve() == {"0": 0}


def test_impossible_networks_are_refused():
    with pytest.raises(ValueError, match="twice"):
        Nodal(["a", "a"], "a")
    with pytest.raises(ValueError, match="not a node"):
        Nodal(["a"], "0")
    net = Nodal(["a", "b"], "a")
    for ohm in (0, -1, nan, inf, 1e-320):
        with pytest.raises(ValueError, match="ohm"):
            net.resistor("a", "b", ohm)
        with pytest.raises(ValueError, match="ohm"):
            net.source("a", "b", 12, ohm)
    for call in (lambda: net.source("a", "b", nan, 1), lambda: net.current("a", "b", inf)):
        with pytest.raises(ValueError, match="finite"):
            call()
    for call in (
        lambda: net.resistor("a", "c", 1),
        lambda: net.current("c", "a", 1),
        lambda: net.thevenin("a", "c"),
    ):
        with pytest.raises(ValueError, match="'c' is not a node"):
            call()
    with pytest.raises(ValueError, match="both ends"):
        net.resistor("a", "a", 1)


def work(count: int) -> int:
    """Count the products for a network like a big van: circuits out and back, boards, some fed twice."""
    pick = Random(count)
    nodes = ["0", "bar"]
    net_elements = [("bar", "0", 0.01)]
    boards = ["bar"]
    while len(nodes) < count:
        number = len(nodes)
        if number >= 40 * (len(boards) - 1) + 2:
            boards.append(f"board{number}")
            nodes.append(boards[-1])
            net_elements.append((pick.choice(boards[:-1]), boards[-1], 0.005))
            if len(boards) % 5 == 0:
                net_elements.append((pick.choice(boards[:-1]), boards[-1], 0.007))
        else:
            nodes += [f"load{number}+", f"load{number}-"]
            net_elements += [
                (pick.choice(boards), f"load{number}+", 0.02),
                (f"load{number}+", f"load{number}-", 3),
                (f"load{number}-", "0", 0.02),
            ]
    net = Nodal(nodes, "0")
    for element in net_elements:
        net.resistor(*element)
    elimination, _ = net.factor()
    return sum((len(step.others) + 1) ** 2 for step in elimination.steps)


def test_work_grows_nearly_in_proportion_to_the_network():
    small, large = work(1000), work(10000)
    assert large / small <= 10**1.2
