"""Absurd values: each is refused with its place, or judged with a finding that names what is wrong."""

from typing import Any

import pytest

from vandoc.ground.errors import SystemFileError

Trail = tuple[str | int, ...]
Changes = dict[Trail, Any]


def cable(key: str, value: Any) -> Changes:
    return {("cables", "battery-plus", key): value}


def piece(ident: str, key: str, value: Any) -> Changes:
    return {("equipment", ident, key): value}


def loop(length: str) -> Changes:
    ends = ("plus", "board.in"), ("board.in", "plus")
    return {
        ("cables", "(add)"): [
            {"id": f"loop-{n}", "from": start, "to": end, "length": length, "area": "16 mm²"}
            for n, (start, end) in enumerate(ends)
        ]
    }


SPARE: Changes = {
    ("equipment", "spare"): {
        "kind": "busbar",
        "name": "spare",
        "place": "box",
        "rating": "9 A",
        "torque": "8 N·m",
    }
}
JUDGED = {
    "a battery that gives nothing": (piece("house", "resistance", "1000 Ω"), "no-operating-point"),
    "a battery without resistance": (piece("house", "resistance", "0.000001 Ω"), "breaking-capacity"),
    "a battery as large as a house": (piece("house", "capacity", "100000 Ah"), "battery-vent-too-small"),
    "a battery of nothing": (piece("house", "capacity", "0.1 Ah"), "nights-not-lasted"),
    "a kilometre of cable": (cable("length", "1000 m"), "voltage-drop"),
    "a cable of no length": (cable("length", "0 m"), "cable-without-length"),
    "a loop of no resistance": (loop("0 m"), "cable-without-length"),
    "insulation of wax": (cable("insulation", "10 °C"), "insulation-below-place"),
    "a place as hot as an oven": ({("places", "box", "hottest"): "300 °C"}, "insulation-below-place"),
    "a pump of a megawatt": (
        {("loads", "pump", "power"): "1000000 W", ("loads", "pump", "current"): "(remove)"},
        "no-operating-point",
    ),
    "a fuse of 100 kA": (piece("main-fuse", "rating", "100000 A"), "fuse-above-family"),
    "a fuse of 1 mA": (piece("main-fuse", "rating", "0.001 A"), "fuse-below-current"),
    "a megawatt of panels": (piece("panel", "power", "1000000 W"), "array-above-controller"),
    "a charger of 100 kA": (piece("driving", "output", "100000 A"), "charge-current-above-limit"),
    "a charger that only warms": (piece("driving", "efficiency", "1 %"), "heat-without-vent"),
    "a charge of 500 V": (
        {("equipment", "driving", "profile", "absorption"): "500 V"},
        "absorption-voltage",
    ),
    "a pump for 1000 V": ({("loads", "pump", "lowest"): "1000 V"}, "below-lowest-voltage"),
    "a van at the pole": ({("use", "latitude"): "90 °"}, "sun-not-known"),
    "a short circuit across the battery": (cable("to", "house.-"), "short-circuit"),
    "a van as long as a street": ({("van", "size", "length"): "1000 m"}, "van-size-implausible"),
    "a van of no width": (
        {
            ("van", "size", "width"): "0 m",
            **{("places", place, "at", "across"): "0 m" for place in ("box", "galley", "engine", "roof")},
        },
        "van-size-implausible",
    ),
    "a cable across a street": (cable("length", "61 m"), "cable-implausibly-long"),
    "a van of the year 1": ({("van", "built"): "0001-01-01"}, "date-implausible"),
    "a part for the year 9999": (piece("house", "replace_by", "9999-12-31"), "date-implausible"),
    "a check before there were vans": (
        {("mains", "hook_up", "inspected"): "1026-03-12"},
        "date-implausible",
    ),
    "a pump that starts with less": ({("loads", "pump", "start"): "0.5 A"}, "start-below-running"),
    "parts that nothing joins": ({**SPARE, **cable("from", "spare")}, "not-fed"),
}
REFUSED = {
    "a hair": (cable("area", "0.05 mm²"), "too low; the minimum is 0.5 mm²"),
    "a rail": (cable("area", "900 mm²"), "too high; the maximum is 120 mm²"),
    "a thousand in a bunch": (cable("bunched", 1000), "1000 is too high; the maximum is 20"),
    "colder than can be": ({("places", "roof", "coldest"): "-300 °C"}, "too low; the minimum is -60 °C"),
    "a current of nothing": ({("loads", "pump", "current"): "0 A"}, "too low; enter more than 0 A"),
    "panels of 5 kV": (piece("panel", "voc", "5000 V"), "too high; the maximum is 1000 V"),
    "an alternator of 100 kA": (piece("alternator", "rating", "100000 A"), "too high; the maximum is 1000 A"),
    "a nominal voltage of 1 kV": ({("van", "nominal"): "1000 V"}, "is not a supported nominal voltage"),
    "a hundred hours a day": ({("use", "driven"): "100 h"}, "too high; the maximum is 24 h"),
    "three hundred years of nights": ({("use", "nights"): 100000}, "100000 is too high; the maximum is 60"),
}


@pytest.mark.parametrize("name", JUDGED)
def test_extreme_but_valid_values_are_checked_and_named(name, sound, spoil):
    changes, rule = JUDGED[name]
    assert rule not in {finding.rule for finding in sound.findings}
    assert rule in {finding.rule for finding in spoil(changes).findings}


@pytest.mark.parametrize("name", REFUSED)
def test_impossible_values_are_refused(name, spoil):
    changes, message = REFUSED[name]
    with pytest.raises(SystemFileError, match=message):
        spoil(changes)


# Directive 96/53/EC, Annex I, from memory: a motor vehicle is at most 12 m long, the widest 2.6 m wide.
@pytest.mark.parametrize(
    ("key", "metres", "plausible"),
    [("length", 12, True), ("length", 12.1, False), ("width", 2.6, True), ("width", 2.61, False)],
)
def test_the_largest_van_is_the_largest_on_the_road(key, metres, plausible, spoil):
    judged = spoil({("van", "size", key): f"{metres} m"})
    assert bool(judged.of("van-size-implausible")) != plausible


@pytest.mark.parametrize(("day", "plausible"), [("1949-12-31", False), ("1950-01-01", True)])
def test_the_first_plausible_date(day, plausible, spoil):
    assert bool(spoil({("van", "built"): day}).of("date-implausible")) != plausible


def test_a_group_of_loads_starts_like_one_of_them(spoil):
    """The starting current is stated for one device, and so is compared with the current of one."""
    changes = {("loads", "pump", "count"): 2, ("loads", "pump", "start"): "9 A"}
    assert not spoil(changes).of("start-below-running")
