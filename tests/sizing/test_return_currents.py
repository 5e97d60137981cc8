"""What comes back through a cable: no more than the fuses of what it serves let through."""

from math import inf

import pytest

from vandoc.physics.network.graph import Conductor, FuseLink, Network, Source
from vandoc.physics.sizing.return_currents import SupplyAndReturn, return_currents


def cable(ident: str, start: str, end: str) -> Conductor:
    return Conductor(ident, start, end, 1.0, 6.0, "6 mm²", 105.0, 1, (), False, None, ("cables", 0))


def fuse(ident: str, start: str, end: str) -> FuseLink:
    return FuseLink(ident, start, end, ident, None, "C", None, None, None, ("equipment", ident))


MAIN = fuse("main", "battery.+", "bar")
ONE, TWO = fuse("one", "bar", "lamp.+"), fuse("two", "bar", "pump.+")
LAMP, PUMP = cable("lamp-minus", "lamp.-", "minus"), cable("pump-minus", "pump.-", "minus")
TRUNK = cable("trunk", "minus", "battery.-")
BATTERY = Source("battery", "battery", "battery.+", "battery.-", 12.0, None)


def network(*sources: Source) -> Network:
    return Network({}, {}, {}, sources, (), {})


@pytest.mark.parametrize(("main", "trunk"), [(50.0, 15.0), (12.0, 12.0)])
def test_a_trunk_carries_the_sum_of_the_fuses_or_the_one_they_share(main, trunk):
    ways = [
        SupplyAndReturn((MAIN, ONE), (LAMP, TRUNK), "lamp.-"),
        SupplyAndReturn((MAIN, TWO), (PUMP, TRUNK), "pump.-"),
    ]
    found = return_currents(network(BATTERY), ways, {"main": main, "one": 5.0, "two": 10.0})
    assert found == {"lamp-minus": 5.0, "pump-minus": min(10.0, main), "trunk": trunk}


def test_fuses_behind_one_another_count_by_branch():
    """Two boards: 10 A at most through the first feed, 3 A + 4 A through the larger second one."""
    feed_a, feed_b = fuse("feed-a", "bar", "a"), fuse("feed-b", "bar", "b")
    amps = {"feed-a": 10.0, "a1": 8.0, "a2": 8.0, "feed-b": 50.0, "b1": 3.0, "b2": 4.0}
    ways = [
        SupplyAndReturn((feed, fuse(name, feed.end, f"{name}.+")), (TRUNK,), "minus")
        for feed, name in ((feed_a, "a1"), (feed_a, "a2"), (feed_b, "b1"), (feed_b, "b2"))
    ]
    assert return_currents(network(BATTERY), ways, amps) == {"trunk": 17.0}


def test_two_things_behind_one_fuse_count_it_once():
    ways = [
        SupplyAndReturn((MAIN, ONE), (LAMP, TRUNK), "lamp.-"),
        SupplyAndReturn((MAIN, ONE), (PUMP, TRUNK), "pump.-"),
    ]
    assert return_currents(network(BATTERY), ways, {"main": 50.0, "one": 5.0})["trunk"] == 5.0


def test_without_a_fuse_nothing_limits_the_return_current():
    ways = [SupplyAndReturn((cable("bare", "battery.+", "lamp.+"),), (LAMP,), "lamp.-")]
    assert return_currents(network(BATTERY), ways, {})["lamp-minus"] == inf


def test_a_converter_limits_its_return_current():
    converter = Source("converter", "converter", "converter.out", "converter.-", 12.0, 25.0)
    ways = [SupplyAndReturn((cable("feed", "converter.out", "lamp.+"),), (LAMP,), "lamp.-")]
    assert return_currents(network(converter), ways, {})["lamp-minus"] == 25.0


def test_return_currents_in_opposite_directions_do_not_add():
    """A converter sends its own current to the bar, and gets that of its loads from there."""
    converter = Source("converter", "converter", "converter.out", "converter.-", 12.0, 25.0)
    own = cable("converter-minus", "converter.-", "minus")
    to_bar = SupplyAndReturn((MAIN, ONE), (TRUNK, own), "converter.-")
    from_bar = SupplyAndReturn((cable("feed", "converter.out", "lamp.+"),), (LAMP, own), "lamp.-")
    found = return_currents(network(BATTERY, converter), [to_bar, from_bar], {"main": 50.0, "one": 30.0})
    assert found == {"converter-minus": 30.0, "trunk": 30.0, "lamp-minus": 25.0}
