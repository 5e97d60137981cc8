"""No change of a van goes untold: each section, each kind of result and each label, changed alone."""

import copy

import pytest
import yaml

from tests.says.vans import SMALL, small
from vandoc.analysis import Van
from vandoc.judgement.history import compare
from vandoc.reading.loader import load

OLD = small(**SMALL["gel-with-relay"]) | {"use": {"nights": 2}, "mains": {"hook_up": {"rcd": "30 mA"}}}
ITEMS = {
    "places": {"shelf": {"label": "on the shelf", "at": {"back": "2 m", "across": "1 m"}}},
    "equipment": {"spare": {"kind": "earth-point", "name": "spare", "place": "box"}},
    "loads": {"fan": {"name": "fan", "place": "wall", "power": "3 W"}},
}
VALUES = {
    "van.name": "Other",
    "van.size.length": "7 m",
    "places.wall.label": "on the other wall",
    "places.box.access": "Turn it.",
    "equipment.house-0.chemistry": "AGM",
    "equipment.isolator-0.rating": "200 A",
    "loads.lamp.power": "6 W",
    "cables.0.length": "0.6 m",
    "circuits.0.fuse.rating": "3 A",
    "circuits.0.cable.area": "4 mm²",
    "use.nights": 3,
    "mains.hook_up.rcd": "10 mA",
}
NAMED_BY_ENDS = "house-0.+ to main-fuse-0.in"


@pytest.fixture(scope="module")
def vans(tmp_path_factory):
    folder = tmp_path_factory.mktemp("changes")

    def van(stated):
        path = folder / "van.yml"
        path.write_text(yaml.safe_dump(stated, allow_unicode=True, sort_keys=False), "utf-8")
        return Van.of(load(path))

    return van


@pytest.fixture(scope="module")
def changes(vans):
    old = vans(OLD)

    def of(change):
        stated = copy.deepcopy(OLD)
        change(stated)
        return compare(old, vans(stated))

    return of


def put(trail, value):
    def change(stated):
        *steps, last = [int(step) if step.isdigit() else step for step in trail.split(".")]
        node = stated
        for step in steps:
            node = node[step]
        node[last] = value

    return change


@pytest.mark.parametrize("trail", VALUES)
def test_a_stated_value_is_told(trail, changes):
    (section, item), key = trail.split(".")[:2], trail.rpartition(".")[2]
    name = {"van": "", "use": "", "mains": "", "cables": NAMED_BY_ENDS, "circuits": "lamp-circuit"}
    told = changes(put(trail, VALUES[trail])).stated
    assert [(one.group, one.name, one.key.split(".")[-1], one.new, one.there) for one in told] == [
        (section, name.get(section, item), key, str(VALUES[trail]), True)
    ]
    assert told[0].old


def test_a_value_that_was_not_stated_and_one_that_is_no_longer_are_told(vans):
    heavy = copy.deepcopy(OLD)
    put("equipment.house-0.weight", "20 kg")(heavy)
    for before, after, values in ((OLD, heavy, ("", "20 kg")), (heavy, OLD, ("20 kg", ""))):
        (told,) = compare(vans(before), vans(after)).stated
        assert (told.name, told.key, (told.old, told.new)) == ("house-0", "weight", values)


def test_a_value_of_one_segment_is_told_as_that_of_its_number(vans):
    """Two segments, of which only the first becomes longer."""
    old = copy.deepcopy(OLD)
    old["equipment"]["lamp-switch"] = {"kind": "switch", "name": "switch", "place": "box", "rating": "10 A"}
    put("circuits.0.cable", [{"length": "1 m", "to": "lamp-switch"}, {"length": "1 m"}])(old)
    new = copy.deepcopy(old)
    new["circuits"][0]["cable"][0]["length"] = "2 m"
    (told,) = compare(vans(old), vans(new)).stated
    assert (told.key, told.old, told.new) == ("cable 1.length", "1 m", "2 m")


@pytest.mark.parametrize("section", ITEMS)
def test_an_item_added_and_one_removed_are_told(section, vans):
    ((name, item),) = ITEMS[section].items()
    with_it = copy.deepcopy(OLD)
    with_it[section][name] = item
    added = compare(vans(OLD), vans(with_it)).stated
    removed = compare(vans(with_it), vans(OLD)).stated
    shown = item.get("name") or item["label"]
    assert [(one.group, one.name, one.key, one.old, one.new, one.there) for one in added] == [
        (section, name, "", "", shown, True)
    ]
    assert [(one.group, one.name, one.key, one.old, one.new, one.there) for one in removed] == [
        (section, name, "", shown, "", False)
    ]


def moved(found):
    return {(one.kind, one.name, one.old, one.new, one.unit) for one in found.moved}


def test_each_kind_of_result_is_told(changes):
    assert ("fuse", "board.1", 5, 3, "A") in moved(changes(put("circuits.0.fuse.rating", "3 A")))
    assert ("capacity", "house-0", 100, 120, "Ah") in moved(
        changes(put("equipment.house-0.capacity", "120 Ah"))
    )
    larger = moved(changes(put("circuits.0.cable.area", "4 mm²")))
    assert {(kind, old, new) for kind, _, old, new, _ in larger if kind == "cable"} == {("cable", 2.5, 4)}
    assert "drop" in {kind for kind, *_ in larger}
    assert {"current", "drop"} <= {kind for kind, *_ in moved(changes(put("loads.lamp.power", "6 W")))}


def test_a_result_that_hardly_moves_is_not_told(changes):
    assert moved(changes(put("loads.lamp.power", "5.2 W"))) == set()
    assert "current" in {kind for kind, *_ in moved(changes(put("loads.lamp.power", "5.4 W")))}


def test_findings_that_came_and_went_are_told_with_their_severity(changes, vans):
    relay = put("equipment.alternator.regulation", "smart")
    found = changes(relay)
    came = {(one.rule, one.severity) for one in found.came}
    assert ("split-charge-on-smart-alternator", "fail") in came
    smart = copy.deepcopy(OLD)
    relay(smart)
    assert {(one.rule, one.severity) for one in compare(vans(smart), vans(OLD)).went} == came


def test_a_finding_about_one_more_item_is_told(vans):
    """A second load that nothing feeds, beside the first."""
    one, two = copy.deepcopy(OLD), copy.deepcopy(OLD)
    one["loads"] |= {"fan": {"name": "fan", "place": "wall", "power": "3 W"}}
    two["loads"] |= one["loads"] | {"pump": {"name": "pump", "place": "wall", "power": "30 W"}}
    found = compare(vans(one), vans(two))
    assert ("not-fed", "pump") in {(finding.rule, finding.subject) for finding in found.came}
    assert "not-fed" not in {finding.rule for finding in found.went}


def test_a_finding_that_becomes_worse_is_told_as_it_was_and_as_it_is(changes):
    """Nobody can check an isolator without a rated voltage; one for 12 V fails in a van of 24 V."""
    found = changes(put("equipment.isolator-0.voltage", "12 V"))

    def of(findings):
        about = [one for one in findings if one.rule == "voltage-above-rating"]
        return [(one.subject, one.severity) for one in about]

    assert (of(found.went), of(found.came)) == ([("isolator-0", "review")], [("isolator-0", "fail")])


LABELS = {
    "equipment.house-0.name": ("battery", "house-0"),
    "equipment.house-0.chemistry": ("battery", "house-0"),
    "equipment.house-0.capacity": ("battery", "house-0"),
    "equipment.isolator-0.name": ("isolator", "isolator-0"),
    "equipment.earth.name": ("earth", "earth"),
    "loads.lamp.name": ("fuse", "board.1"),
    "circuits.0.fuse.rating": ("fuse", "board.1"),
    "equipment.main-fuse-0.family": ("fuse", "main-fuse-0"),
}
NEW = {"family": "ANL", "chemistry": "AGM", "capacity": "120 Ah", "name": "renamed", "rating": "3 A"}


@pytest.mark.parametrize("trail", LABELS)
def test_a_label_that_no_longer_applies_is_told(trail, changes):
    labels = changes(put(trail, NEW[trail.rpartition(".")[2]])).labels
    assert LABELS[trail] in {(one.kind, one.name) for one in labels}
    assert not any(one.gone for one in labels)


@pytest.mark.parametrize(("end", "other"), [("from", "main-fuse-0.in"), ("to", "isolator-0.out")])
def test_the_label_of_a_cable_at_another_terminal_of_the_same_item_is_told(end, other, vans):
    old = copy.deepcopy(OLD)
    (cable,) = (one for one in old["cables"] if one["to"] == "isolator-0.in")
    cable["id"] = "second"
    new = copy.deepcopy(old)
    (one,) = (one for one in new["cables"] if one.get("id") == "second")
    one[end] = other
    labels = compare(vans(old), vans(new)).labels
    assert ("cable", "second", False) in {(one.kind, one.name, one.gone) for one in labels}


def test_labels_of_cables_and_of_what_is_gone_are_told(changes, vans):
    larger = changes(put("cables.0.area", "50 mm²")).labels
    assert [one.kind for one in larger] == ["cable"]
    moved_end = changes(put("cables.0.to", "plus")).labels
    assert "cable" in {one.kind for one in moved_end}
    with_it = copy.deepcopy(OLD)
    with_it["equipment"]["spare"] = ITEMS["equipment"]["spare"]
    assert ("earth", "spare", True) in {
        (one.kind, one.name, one.gone) for one in compare(vans(with_it), vans(OLD)).labels
    }
    published = changes(put("van.published", "https://manuals.example.org/v/small-abcd/"))
    assert [one.kind for one in published.labels] == ["code"]
