"""What comes back through a cable: no more than the fuses of what it serves let through."""

from math import inf

import pytest

from vandoc.network.graph import Conductor, FuseLink, Network, Source
from vandoc.sizing.returned import Way, returned


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
    ways = [Way((MAIN, ONE), (LAMP, TRUNK)), Way((MAIN, TWO), (PUMP, TRUNK))]
    found = returned(network(BATTERY), ways, {"main": main, "one": 5.0, "two": 10.0})
    assert found == {"lamp-minus": 5.0, "pump-minus": min(10.0, main), "trunk": trunk}


def test_two_things_behind_one_fuse_count_it_once():
    ways = [Way((MAIN, ONE), (LAMP, TRUNK)), Way((MAIN, ONE), (PUMP, TRUNK))]
    assert returned(network(BATTERY), ways, {"main": 50.0, "one": 5.0})["trunk"] == 5.0


def test_without_a_fuse_nothing_limits_what_comes_back():
    ways = [Way((cable("bare", "battery.+", "lamp.+"),), (LAMP,))]
    assert returned(network(BATTERY), ways, {})["lamp-minus"] == inf


def test_a_converter_limits_what_comes_back_to_it():
    converter = Source("converter", "converter", "converter.out", "converter.-", 12.0, 25.0)
    ways = [Way((cable("feed", "converter.out", "lamp.+"),), (LAMP,))]
    assert returned(network(converter), ways, {})["lamp-minus"] == 25.0
