"""Proposals: the smallest standard sizes that pass, and steady when the van changes a little."""

from copy import deepcopy
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from vandoc.analysis import Van
from vandoc.ground.calc.conductor import STANDARD_AREAS_MM2
from vandoc.ground.calc.fuse import standard_ratings
from vandoc.judgement.checks import run
from vandoc.model.system import System
from vandoc.physics.network.currents import SizingState
from vandoc.physics.network.expand import build
from vandoc.physics.sizing import Widths
from vandoc.reading.loader import load

SITES = Path(__file__).parents[2] / "sites"
VANS = ["curlew", "heron", "wren"]

# IEC 60228:2004 Table 3 and the preferred sizes of ISO 6722-1 (from memory): cross-sections sold by the reel.
REEL_MM2 = {0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120}


@pytest.fixture(scope="module")
def demos():
    found = {}
    for name in VANS:
        van_file = load(SITES / name / "van.yml")
        found[name] = (van_file, Van.of(van_file).sizing)
    return found


def stated(van_file, sizing):
    """The van file with each proposal written into it, part sheets merged in."""
    van = van_file.tree.plain()
    for sized in sizing.conductors.values():
        if sized.proposed:
            set_area(van, sized.conductor, sized.area_mm2)
    for sized in sizing.fuses.values():
        if sized.proposed:
            set_rating(van, sized.link.trail, sized.rating_a)
    for section in ("equipment", "loads"):
        for entry in van[section].values():
            entry.pop("part", None)
    for place in van["places"].values():
        place.pop("picture", None)
    return van


def set_area(van, conductor, area_mm2):
    section, number, *_ = conductor.trail
    entry = van[section][number]
    if len(conductor.trail) > 3:  # a segment, or the return beside it
        segment = entry["cable"][conductor.trail[3]]
        holder = segment.setdefault("return", {}) if conductor.role == "return" else segment
        holder["area"] = f"{area_mm2:g} mm²"
    elif conductor.role == "return":
        way = entry["return"] if isinstance(entry["return"], dict) else {"to": entry["return"]}
        entry["return"] = {**way, "area": f"{area_mm2:g} mm²"}
    elif conductor.role == "supply":
        entry["cable"] = {**entry["cable"], "area": f"{area_mm2:g} mm²"}
    else:
        entry["area"] = f"{area_mm2:g} mm²"


def set_rating(van, trail, rating_a):
    entry = van
    for step in trail:
        entry = entry.setdefault(step, {}) if isinstance(entry, dict) else entry[step]
    entry["rating"] = f"{rating_a:g} A"


def faults(van, folder):
    """What a reader must look at, of a van given as plain data."""
    (folder / "van.yml").write_text(yaml.safe_dump(van, allow_unicode=True, sort_keys=False), "utf-8")
    findings = run(Van.of(load(folder / "van.yml")))
    return {(f.rule, f.subject) for f in findings if f.severity != "note"}


@pytest.mark.parametrize("name", VANS)
def test_proposals_are_standard_sizes_and_pass_every_rule_when_written_down(name, demos, tmp_path):
    van_file, sizing = demos[name]
    for sized in sizing.conductors.values():
        assert not sized.proposed or sized.area_mm2 in REEL_MM2
    for sized in sizing.fuses.values():
        assert not sized.proposed or sized.rating_a in standard_ratings(sized.link.family)
    before = {(f.rule, f.subject) for f in run(Van.of(van_file)) if f.severity != "note"}
    assert faults(stated(van_file, sizing), tmp_path) == before


@pytest.mark.parametrize("name", VANS)
def test_one_size_less_of_any_proposed_cable_breaks_a_rule(name, demos, tmp_path):
    """The supplies and the return on the way to a load take one size."""
    van_file, sizing = demos[name]
    van = stated(van_file, sizing)
    allowed = faults(van, tmp_path)
    tried = 0
    for sized in sizing.conductors.values():
        smaller = [area for area in STANDARD_AREAS_MM2 if area < sized.area_mm2]
        if not sized.proposed or not smaller or sized.conductor.role == "return":
            continue
        changed = deepcopy(van)
        way = (sized.conductor.circuit, sized.conductor.leg)
        for other in sizing.conductors.values():
            own = (other.conductor.circuit, other.conductor.leg)
            if other is sized or (way[0] is not None and own == way and other.proposed):
                set_area(changed, other.conductor, smaller[-1])
        assert faults(changed, tmp_path) - allowed, f"{sized.conductor.id} could be {smaller[-1]:g} mm²"
        tried += 1
    assert tried >= 5


@pytest.mark.parametrize("name", VANS)
def test_one_rating_less_of_any_proposed_fuse_breaks_a_rule(name, demos, tmp_path):
    van_file, sizing = demos[name]
    van = stated(van_file, sizing)
    allowed = faults(van, tmp_path)
    tried = 0
    for sized in sizing.fuses.values():
        smaller = [rating for rating in standard_ratings(sized.link.family) if rating < sized.rating_a]
        if sized.proposed and smaller:
            changed = deepcopy(van)
            set_rating(changed, sized.link.trail, smaller[-1])
            new = {rule for rule, _ in faults(changed, tmp_path) - allowed}
            assert new & {"fuse-above-continuous", "fuse-below-current", "fuse-below-start"}, sized.link.id
            tried += 1
    assert tried >= 2


SMALL = {
    "van": {"name": "T", "nominal": "12 V", "size": {"length": "9 m", "width": "2 m", "driver": "left"}},
    "workshop": {"name": "W"},
    "places": {"box": {"label": "box", "at": {"back": "1 m", "across": "1 m"}}},
    "equipment": {
        "house": {"kind": "battery", "name": "b", "place": "box", "chemistry": "AGM", "capacity": "100 Ah"},
        "main": {"kind": "fuse", "name": "f", "place": "box", "family": "SF30", "rating": "60 A"},
        "board": {"kind": "fuse-board", "name": "f", "place": "box", "family": "C", "rows": 1, "columns": 4},
    },
    "loads": {
        "heat": {"name": "heat", "place": "box", "current": "8 A"},
        "lamp": {"name": "lamp", "place": "box", "power": "12 W", "importance": "lighting"},
    },
    "cable_defaults": {"insulation": "90 °C", "bunched": 2},
    "cables": [
        {"id": "first", "from": "house.+", "to": "main.in", "length": "0.15 m"},
        {"id": "feed", "from": "main.out", "to": "board.in", "length": "1 m"},
    ],
    "circuits": [
        {
            "id": "heat",
            "fuse": {"board": "board", "position": 1},
            "cable": {"length": "3 m"},
            "load": "heat",
            "return": "house.-",
        },
        {
            "id": "lamp",
            "fuse": {"board": "board", "position": 2},
            "cable": {"length": "4 m"},
            "load": "lamp",
            "return": "house.-",
        },
    ],
}


def sized_van(change=None):
    van = deepcopy(SMALL)
    if change is not None:
        change(van)
    return Van(System.model_validate(van)).sizing


def length(index, metres):
    return lambda van: van["circuits"][index]["cable"].update(length=f"{metres:.2f} m")


@settings(max_examples=40, deadline=None)
@given(st.floats(0.3, 20), st.floats(0, 15))
def test_a_longer_cable_never_gets_a_smaller_proposal(metres, more):
    shorter, longer = sized_van(length(0, metres)), sized_van(length(0, metres + more))
    for ident in ("heat supply", "heat return"):
        assert longer.conductors[ident].area_mm2 >= shorter.conductors[ident].area_mm2


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(["first", "feed", "heat", "lamp"]),
    st.integers(4, len(STANDARD_AREAS_MM2) - 2),
    st.integers(1, 10),
)
def test_more_copper_never_lowers_the_voltage_at_a_load(which, number, steps):
    def give_all(area):
        def change(van):
            for cable in van["cables"]:
                cable["area"] = f"{area if cable['id'] == which else 6} mm²"
            for circuit in van["circuits"]:
                circuit["cable"]["area"] = f"{area if circuit['id'] == which else 2.5} mm²"

        return change

    thin = STANDARD_AREAS_MM2[number]
    thick = STANDARD_AREAS_MM2[min(number + steps, len(STANDARD_AREAS_MM2) - 1)]
    before, after = (sized_van(give_all(area)).states[SizingState.SUPPLY].volts for area in (thin, thick))
    for name in ("heat", "lamp"):
        low, high = (volts[f"{name}.+"] - volts[f"{name}.-"] for volts in (before, after))
        assert high >= low - 1e-9


# The international yard (1959): 1 in = 25.4 mm exactly, 1 ft = 0.3048 m exactly.
SAME_LENGTHS = [("0.3048 m", "12 in"), ("3.048 m", "10 ft"), ("305 cm", "3.05 m")]


@pytest.mark.parametrize(("metric", "other"), SAME_LENGTHS)
def test_the_unit_of_a_length_changes_nothing(metric, other):
    results = [
        sized_van(lambda van, text=text: van["circuits"][0]["cable"].update(length=text))
        for text in (metric, other)
    ]
    assert results[0].conductors["heat supply"] == results[1].conductors["heat supply"]
    assert results[0].drops == results[1].drops


# ASTM B258 as in NBS Handbook 100 (1966): cross-section of AWG sizes. [mm²]
@pytest.mark.parametrize(("awg", "area"), [("14 AWG", 2.0809), ("10 AWG", 5.2612), ("6 AWG", 13.302)])
def test_a_gauge_and_its_area_are_one_size(awg, area):
    results = [
        sized_van(lambda van, text=text: van["circuits"][0]["cable"].update(area=text))
        for text in (awg, f"{area} mm²")
    ]
    first, second = (sizing.conductors["heat supply"] for sizing in results)
    assert first.area_mm2 == pytest.approx(second.area_mm2, rel=1e-4)
    assert first.ohm == pytest.approx(second.ohm, rel=1e-4)
    assert first.capacity_a == pytest.approx(second.capacity_a, rel=1e-3)
    assert first.size == awg


def test_a_fuse_is_chosen_for_continuous_and_for_starting_current():
    """8 A that lasts needs 10 A (80 %, common practice); 25 A at the start needs 15 A (twice its rating)."""
    assert sized_van().fuses["board.1"].rating_a == 10
    starting = sized_van(lambda van: van["loads"]["heat"].update(start="25 A"))
    assert starting.fuses["board.1"].rating_a == 15
    short = sized_van(lambda van: van["loads"]["heat"].update(continuous=False))
    assert short.fuses["board.1"].rating_a == 10  # 7.5 A is below the current itself
    just = sized_van(lambda van: van["loads"]["heat"].update(current="10 A", continuous=False))
    assert just.fuses["board.1"].rating_a == 10


def test_a_cable_carries_what_its_fuse_lets_through_not_only_its_current():
    wide = sized_van(lambda van: van["circuits"][1]["fuse"].update(rating="20 A"))
    supply = wide.conductors["lamp supply"]
    assert supply.capacity_a >= 20 > supply.design_a
    assert supply.decided == "fuse and current"


def test_a_cable_with_no_fuse_before_it_follows_the_fuse_beyond_it():
    sizing = sized_van()
    assert sizing.conductors["first"].capacity_a >= 60
    assert sizing.conductors["first"].design_a < 20
    assert sizing.conductors["feed"].capacity_a >= 60


def test_the_output_of_a_converter_decides_a_cable_without_a_fuse():
    def change(van):
        van["van"]["nominal"] = "24 V"
        van["loads"]["heat"]["nominal"] = "24 V"
        van["loads"]["lamp"]["nominal"] = "12 V"
        van["equipment"] |= {
            "converter": {
                "kind": "converter",
                "name": "c",
                "place": "box",
                "input_voltage": "24 V",
                "output_voltage": "12 V",
                "output": "30 A",
            },
            "board-12": {**van["equipment"]["board"], "columns": 2},
        }
        van["cables"] += [
            {"id": "in", "from": "board.3", "to": "converter.in", "length": "1 m"},
            {"id": "out", "from": "converter.out", "to": "board-12.in", "length": "1 m"},
            {"id": "back", "from": "converter.-", "to": "house.-", "length": "1 m"},
        ]
        van["circuits"][1]["fuse"]["board"] = "board-12"

    sizing = sized_van(change)
    out = sizing.conductors["out"]
    assert out.capacity_a >= 30 > out.design_a
    assert sizing.conductors["back"].area_mm2 >= out.area_mm2


def test_cables_of_panels_carry_what_all_of_them_give_in_bright_sun():
    """1.25 times 9 A and 4 A is 16.25 A (IEC 62548, 1.25 times the short-circuit current, from memory)."""

    def change(van):
        panel = {"kind": "solar-array", "place": "box", "power": "160 W", "voc": "22 V", "vmp": "18 V"}
        van["equipment"] |= {
            "front": {**panel, "name": "front panel", "isc": "9 A"},
            "rear": {**panel, "name": "rear panel", "power": "70 W", "isc": "4 A"},
            "bar": {"kind": "busbar", "name": "bar", "place": "box", "rating": "50 A"},
            "solar": {"kind": "charger", "name": "s", "place": "box", "source": "solar", "output": "5 A"},
        }
        van["cables"] += [
            {"id": "one", "from": "front.+", "to": "bar", "length": "3 m"},
            {"id": "two", "from": "rear.+", "to": "bar", "length": "3 m"},
            {"id": "both", "from": "bar", "to": "solar.pv+", "length": "3 m"},
            {"from": "front.-", "to": "solar.pv-", "length": "3 m"},
            {"from": "rear.-", "to": "solar.pv-", "length": "3 m"},
            {"from": "solar.out", "to": "board.in", "length": "1 m"},
            {"from": "solar.-", "to": "house.-", "length": "1 m"},
        ]

    cables = sized_van(change).conductors
    assert cables["both"].needed_a == pytest.approx(16.25)
    assert cables["one"].needed_a == pytest.approx(11.25)
    assert cables["two"].needed_a == pytest.approx(11.25)  # a short circuit in it is fed by the other
    assert all(cables[name].capacity_a >= cables[name].needed_a for name in ("one", "two", "both"))


def test_a_solved_current_that_is_just_a_rating_does_not_hunt_between_two():
    """3 A that does not last on a 3 A fuse: rounding must not ask for 4 A, then for 3 A, and never settle."""
    sizing = sized_van(lambda van: van["loads"]["heat"].update(current="3 A", continuous=False))
    assert sizing.fuses["board.1"].rating_a == 3
    assert all(drop.percent <= drop.limit.percent for drop in sizing.drops.values())


def test_many_long_circuits_all_get_enough_copper():
    def change(van):
        van["equipment"]["board"]["columns"] = 40
        van["equipment"]["main"]["rating"] = "200 A"
        for number in range(3, 31):
            van["loads"][f"fan-{number}"] = {"name": "fan", "place": "box", "current": "4 A"}
            van["circuits"].append(
                {
                    "id": f"fan-{number}",
                    "fuse": {"board": "board", "position": number},
                    "cable": {"length": "12 m"},
                    "load": f"fan-{number}",
                    "return": "house.-",
                }
            )

    sizing = sized_van(change)
    assert len(sizing.drops) == 30
    assert all(drop.percent <= drop.limit.percent for drop in sizing.drops.values())


def test_no_cable_grows_for_a_drop_that_copper_cannot_reduce():
    def change(van):
        van["cables"][1]["area"] = "0.75 mm²"
        van["cables"][1]["length"] = "9 m"
        van["loads"]["lamp"]["importance"] = "critical"

    sizing = sized_van(change)
    assert sizing.drops["lamp"].percent > sizing.drops["lamp"].limit.percent
    assert sizing.conductors["lamp supply"].area_mm2 == 1.5  # the smallest permitted


def test_the_supply_and_return_of_a_circuit_grow_together():
    sizing = sized_van(length(0, 10))
    supply, back = sizing.conductors["heat supply"], sizing.conductors["heat return"]
    assert supply.area_mm2 == back.area_mm2 > 1
    assert "voltage drop" in (supply.decided, back.decided)


def test_a_return_grows_alone_where_the_fuse_board_takes_no_larger_supply():
    """At 15 m and 8 A the supply would have to be larger than the 6 mm² that the board's terminals take."""
    sizing = sized_van(length(0, 15))
    supply, back = sizing.conductors["heat supply"], sizing.conductors["heat return"]
    assert supply.area_mm2 == 6
    assert back.area_mm2 > supply.area_mm2
    drop = sizing.drops["heat"]
    assert drop.percent <= drop.limit.percent


def test_a_return_follows_only_the_supply_of_its_own_load():
    """The panels' minus has nothing to do with the cable between controller and battery."""

    def change(van):
        van["equipment"] |= {
            "panels": {
                "kind": "solar-array",
                "name": "p",
                "place": "box",
                "power": "100 W",
                "voc": "22 V",
                "isc": "6 A",
            },
            "solar": {"kind": "charger", "name": "s", "place": "box", "source": "solar", "output": "20 A"},
        }
        van["cables"] += [
            {"id": "roof-plus", "from": "panels.+", "to": "solar.pv+", "length": "4 m"},
            {"id": "roof-minus", "from": "panels.-", "to": "solar.pv-", "length": "4 m"},
            {"id": "out", "from": "solar.out", "to": "board.in", "length": "1 m"},
            {"id": "back", "from": "solar.-", "to": "house.-", "length": "1 m"},
        ]

    cables = sized_van(change).conductors
    assert cables["roof-minus"].area_mm2 == cables["roof-plus"].area_mm2 < cables["out"].area_mm2
    assert cables["back"].area_mm2 >= cables["out"].area_mm2


def test_widths_name_the_fuse_that_limits_the_worst_way():
    system = System.model_validate(deepcopy(SMALL))
    network = build(system)
    ratings = {"main": 60.0, "board.1": 10.0, "board.2": 3.0}
    let_through = Widths(network, ratings)
    widths = {ident: let_through.from_batteries(c) for ident, c in network.conductors.items()}
    assert widths["first"] == (float("inf"), 0.0)
    assert widths["feed"] == (60.0, 0.0)
    assert widths["heat supply"] == (10.0, 0.0)
