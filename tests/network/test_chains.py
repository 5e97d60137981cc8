"""A circuit as a chain: every length of cable is in network, drop, lists, labels and faults."""

import pytest
import yaml

from tests.vans.small import SMALL
from vandoc.analysis import Van
from vandoc.analysis.diagnosis.faults import faults
from vandoc.judgement.checks import run
from vandoc.judgement.proposals import proposals
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.lists.pieces import cut_pieces
from vandoc.paper.labels.content import labels
from vandoc.reading.loader import load

SWITCH = {"kind": "switch", "name": "light switch", "place": "box", "rating": "10 A", "voltage": "24 V"}
LAMP = {"name": "reading lamp", "place": "box", "power": "6 W", "importance": "lighting"}
CHAIN = [
    {"length": "3 m", "area": "1.5 mm²", "to": "knob"},
    {"length": "0.8 m", "area": "1.5 mm²"},
    {"length": "1.2 m", "area": "1 mm²"},
]


def van_with(tmp_path, cable, **more):
    """A van with two lamps, one behind the other, and a switch before them."""
    data = yaml.safe_load(SMALL.read_text("utf-8"))
    data["equipment"]["knob"] = SWITCH
    data["loads"]["lamp"] = LAMP
    data["circuits"][0] |= {"cable": cable, "load": ["light", "lamp"], **more}
    path = tmp_path / "van.yml"
    path.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    return Van.of(load(path))


@pytest.fixture
def van(tmp_path):
    return van_with(tmp_path, CHAIN)


def ends(van):
    found = [c for c in van.network.conductors.values() if c.circuit == "light"]
    return {c.id: (c.start, c.end, c.length_m, c.area_mm2) for c in found}


def test_each_segment_and_each_return_is_a_cable(van):
    assert ends(van) == {
        "light supply": ("board.1", "knob.in", 3.0, 1.5),
        "light supply 2": ("knob.out", "light.+", 0.8, 1.5),
        "light supply 3": ("light.+", "lamp.+", 1.2, 1.0),
        "light return": ("light.-", "minus", 3.8, 1.5),
        "light return 2": ("lamp.-", "light.-", 1.2, 1.0),
    }
    assert not [joint for joint in van.network.joints.values() if joint.kind == "common"]


def test_the_drop_is_that_of_every_segment(van):
    """By hand: 13.3 and 19.5 Ω/km at 20 °C for 1.5 and 1 mm² (IEC 60228 class 5), copper 0.393 %/K."""
    drop = van.sizing.drops["lamp"]
    here = {name: amps * ohms for name, amps, ohms in drop.steps if name.startswith("light ")}
    both, last = 10 / 12 + 6 / 12, 6 / 12
    warm = {name: 1 + 0.00393 * (van.sizing.conductors[name].temperature_c - 20) for name in here}
    assert here == pytest.approx(
        {
            "light supply": both * 3.0 * 0.0133 * warm["light supply"],
            "light supply 2": both * 0.8 * 0.0133 * warm["light supply 2"],
            "light supply 3": last * 1.2 * 0.0195 * warm["light supply 3"],
            "light return": both * 3.8 * 0.0133 * warm["light return"],
            "light return 2": last * 1.2 * 0.0195 * warm["light return 2"],
        },
        rel=2e-3,
    )
    assert "knob switch" in [name for name, _, _ in drop.steps]


def test_lists_and_labels_name_every_segment(van):
    book = Book(van)
    cut = {piece.id: tuple(end.terminal for end in piece.ends) for piece in cut_pieces(book)}
    assert {name: cut[name] for name in ends(van)} == {name: at[:2] for name, at in ends(van).items()}
    titles = [label.title for label in labels(book, draft=False) if label.kind == "cable"]
    assert {name: titles.count(name) for name in ends(van)} == dict.fromkeys(ends(van), 2)


def test_each_segment_can_break_and_each_joint_can_be_bad(van):
    causes = {fault.cause.id for fault in faults(van.system, van.network)}
    assert {f"cable-open {name}" for name in ends(van)} <= causes
    assert {"joint-poor light supply at knob.in", "joint-poor light supply 2 at knob.out"} <= causes


def test_what_the_file_leaves_open_is_proposed_for_each_segment(tmp_path):
    bare = [{key: value for key, value in segment.items() if key != "area"} for segment in CHAIN]
    found = {item.key for item in proposals(van_with(tmp_path, bare)).items}
    assert found >= {
        "circuits[0].cable[0].area",
        "circuits[0].cable[1].area",
        "circuits[0].cable[2].area",
        "circuits[0].cable[2].return.area",
        "circuits[0].return.area",
    }


def test_a_return_in_segments_of_several_sizes_is_not_invented(tmp_path):
    mixed = [CHAIN[0], {**CHAIN[1], "area": "2.5 mm²"}, CHAIN[2]]
    van = van_with(tmp_path, mixed)
    assert ends(van)["light return"] == ("light.-", "minus", 3.8, None)
    assert van.sizing.conductors["light return"].area_mm2 == 2.5
    stated = van_with(tmp_path, mixed, **{"return": {"to": "minus", "area": "2.5 mm²", "length": "3 m"}})
    assert ends(stated)["light return"] == ("light.-", "minus", 3.0, 2.5)


def test_a_segment_can_branch_off_behind_a_switch(tmp_path):
    branching = [CHAIN[0], CHAIN[1], {**CHAIN[2], "from": "knob"}]
    found = ends(van_with(tmp_path, branching))
    assert found["light supply 3"] == ("knob.out", "lamp.+", 1.2, 1.0)
    assert found["light return 2"][:3] == ("lamp.-", "minus", 4.2)


def test_a_further_return_can_state_its_own_length_and_size(tmp_path):
    cable = [*CHAIN[:2], {**CHAIN[2], "return": {"length": "1 m", "area": "2.5 mm²"}}]
    assert ends(van_with(tmp_path, cable))["light return 2"] == ("lamp.-", "light.-", 1.0, 2.5)


@pytest.mark.parametrize(("place", "asked"), [("box", []), ("roof", ["reading lamp"])])
def test_a_cable_that_is_not_stated_is_asked_for(tmp_path, place, asked):
    """Devices in one place may share their terminals; behind a switch there is a cable in any case."""
    data = yaml.safe_load(SMALL.read_text("utf-8"))
    data["places"]["roof"] = {"label": "on the roof", "at": {"back": "2 m", "across": "1 m"}}
    data["equipment"]["knob"] = SWITCH
    data["loads"]["lamp"] = {**LAMP, "place": place}
    data["circuits"][0] |= {"load": ["light", "lamp"], "switch": "knob"}
    path = tmp_path / "van.yml"
    path.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    found = [f.message for f in run(Van.of(load(path))) if f.rule == "cable-not-stated"]
    wanted = [("light switch", "ceiling light"), *(("ceiling light", name) for name in asked)]
    assert sorted(found) == sorted(
        f"Cannot check the cable from '{start}' to '{end}': the file does not state it."
        for start, end in wanted
    )
