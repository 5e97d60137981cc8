"""Each faulty van that one change of a size cures: the change that is named really cures it."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from tests.checks.conftest import SOUND, judge
from tests.checks.conftest import changed as spoil
from tests.checks.test_rules import ADD, fuse, wire
from tests.checks.test_rules import FAULTS as RULE_FAULTS
from vandoc.analysis import Van
from vandoc.doors import build as entry
from vandoc.ground.calc.conductor import STANDARD_AREAS_MM2
from vandoc.ground.calc.fuse import standard_ratings
from vandoc.judgement.checks import rules
from vandoc.judgement.remedy import changed, cures, findings
from vandoc.judgement.remedy import fails as failing
from vandoc.judgement.remedy.search import EFFORT, MAX_TRIALS, _Search

SITES = Path(__file__).parents[2] / "sites"
CURES = {slug for slug, rule in rules().items() if rule.cures}
FAULTS = [
    fault
    for fault in yaml.safe_load(Path(__file__).with_name("faults.yml").read_text("utf-8"))
    if any(" fail " in line for line in fault["found"])
]
# No single value cures these: a cable, a fuse or a place is wrong or missing.
HOPELESS = {"no-fuse", "short-circuit", "wrong-voltage", "not-fed", "split-charge-on-smart-alternator"}
HOPELESS |= {"spark-in-gas-locker", "payload-exceeded"}
TWO_FUSES = {
    ("equipment", "house-2"): {**SOUND["equipment"]["house"], "name": "second leisure battery"},
    ("equipment", "main-fuse-2"): fuse("SF30", "80 A", name="second main fuse"),
    ("cables", "feed", "area"): "6 mm²",
    ("cables", ADD): [
        wire("battery-plus-2", "house-2.+", "main-fuse-2.in", "0.15 m", "16 mm²"),
        wire("to-bar-2", "main-fuse-2.out", "isolator.in", "0.3 m", "16 mm²"),
        wire("battery-minus-2", "house-2.-", "minus", "0.3 m", "16 mm²"),
    ],
}


@pytest.fixture
def faulty(tmp_path):
    (tmp_path / "parts").symlink_to(SITES / "parts")

    def judge(fault):
        folder = tmp_path / fault["van"]
        folder.mkdir()
        for picture in (SITES / fault["van"]).glob("*.png"):
            (folder / picture.name).write_bytes(picture.read_bytes())
        text = (SITES / fault["van"] / "van.yml").read_text("utf-8")
        (folder / "van.yml").write_text(text.replace(fault["old"], fault["new"]), "utf-8")
        return entry.read(folder / "van.yml", tmp_path)

    return judge


def fails(findings):
    return Counter((f.rule, f.subject) for f in findings if f.severity == "fail")


def judged_again(van, change):
    """All findings after a change, by the whole of the rules."""
    from vandoc.judgement.checks import run

    system = changed(van.system, change)
    return run(Van(system, replace(van.van_file, system=system)))


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault['van']}-{fault['found'][0].split()[0]}")
def test_the_change_named_cures_the_fault_and_adds_none(fault, faulty):
    judged = faulty(fault)
    named = {(f.rule, f.subject): f.nearest for f in failing(judged)}
    assert all(nearest is not None for nearest in named.values())
    for breach, change in cures(judged):
        nearest = named[breach.rule, breach.subject]
        if change is None:
            assert nearest.key is None
            assert breach.rule not in CURES
            before = "no change is named while values are unknown; " if judged.supposed else ""
            assert nearest.text == f"{before}remedy: {rules()[breach.rule].cure.removesuffix('.')}"
            continue
        assert nearest.key
        assert nearest.then in nearest.text or nearest.then in ("yes", "grommet")
        assert breach.rule not in HOPELESS
        after = fails(judged_again(judged, change))
        assert not after[breach.rule, breach.subject]
        assert after <= fails(findings(judged))


def test_the_families_of_the_faults_with_a_cure_are_many():
    slugs = {line.split()[0] for fault in FAULTS for line in fault["found"] if " fail " in line}
    assert {rules()[slug].family for slug in slugs - HOPELESS} >= {
        "protection", "capacity", "fuses", "ratings", "drop", "returns", "charging", "profiles", "solar",
        "batteries", "places",
    }  # fmt: skip


def test_every_rule_with_a_cure_is_one_that_can_fail():
    assert all(rules()[slug].severity == "fail" for slug in CURES)
    assert not HOPELESS & CURES


def test_no_change_is_sought_for_a_van_without_faults(monkeypatch):
    def never(*_):
        raise AssertionError("searched")

    monkeypatch.setattr(_Search, "judged", never)
    judged = entry.read(SITES / "wren" / "van.yml")
    assert all(finding.nearest is None for finding in findings(judged))


def test_trials_are_bounded_however_much_is_wrong(faulty, monkeypatch):
    counted = []
    judged = _Search.judged
    monkeypatch.setattr(_Search, "judged", lambda self, case: (counted.append(1), judged(self, case))[1])
    spoilt = faulty({"van": "curlew", "old": "105 °C", "new": "70 °C"})
    assert len(failing(spoilt)) > 3
    conductors = len(spoilt.network.conductors)
    assert 1 < len(counted) <= 1 + min(MAX_TRIALS, EFFORT // conductors)
    assert all(finding.nearest.text for finding in failing(spoilt))


def test_a_fuse_too_large_for_its_cable_is_named_with_the_next_smaller_that_fits(faulty):
    """By hand: 4 mm² of 105 °C, in a bunch of 3 at 45 °C, carries 27.3 A by the strictest basis."""
    fault = next(f for f in FAULTS if f["found"][0] == "fuse-above-capacity fail fridge")
    finding = next(f for f in failing(faulty(fault)) if f.rule == "fuse-above-capacity")
    assert (finding.nearest.now, finding.nearest.then) == ("40 A", "25 A")
    assert finding.nearest.key.startswith("circuits[")
    assert finding.nearest.key.endswith("].fuse.rating")


def test_a_main_cable_that_is_too_small_is_named_together_with_its_return(faulty):
    """The way back may not be thinner than the supply, so that one of the two alone cures nothing."""
    judged = faulty({"van": "curlew", "old": "area: 70 mm²", "new": "area: 35 mm²"})
    named = {(f.rule, f.subject): f.nearest for f in failing(judged)}
    nearest = named["cable-above-capacity", "battery-plus"]
    assert (nearest.now, nearest.then) == ("35 mm²", "50 mm²")
    for cable in ("battery-plus", "battery-minus", "bar-to-earth", "shunt-to-bar"):
        assert f"50 mm² instead of 35 mm² for cable '{cable}'" in nearest.text
    changes = {(breach.rule, breach.subject): change for breach, change in cures(judged)}
    after = fails(judged_again(judged, changes["cable-above-capacity", "battery-plus"]))
    assert not after["cable-above-capacity", "battery-plus"]
    assert after <= fails(findings(judged))


def test_voltage_lost_in_a_feed_and_its_circuit_is_saved_in_both(faulty):
    judged = faulty({"van": "curlew", "old": "area: 25 mm²", "new": "area: 10 mm²"})
    (text,) = {f.nearest.text for f in failing(judged) if f.rule == "voltage-drop"}
    assert "together with" in text


def spoilt(changes, folder):
    """The small sound van of tests/checks with changes."""
    (folder / "small").mkdir(exist_ok=True)
    return judge(spoil(SOUND, changes), folder / "small").van


def between(van, change):
    """The same change in the sizes between that of the van and that of the change."""
    (trail, then), *_ = change.edits
    now = value_at(van.system, trail)
    ladder = STANDARD_AREAS_MM2 if change.kind == "area" else ()
    if change.kind == "fuse":
        (link,) = [one for one in van.network.fuses.values() if (*one.trail, "rating_a") == trail]
        now, ladder = van.ratings[link.id], standard_ratings(link.family)
    low, high = sorted((now or 0.0, then))
    return [replace(change, edits=((trail, size), *change.edits[1:])) for size in ladder if low < size < high]


def value_at(system, trail):
    for step in trail:
        system = getattr(system, step) if isinstance(step, str) and hasattr(system, step) else system[step]
    return system


SINGLE = [f for f in FAULTS if f["found"][0].split()[0] in CURES]


@pytest.mark.parametrize("fault", SINGLE, ids=lambda fault: f"{fault['van']}-{fault['found'][0].split()[0]}")
def test_no_nearer_size_would_have_cured_the_fault(fault, faulty):
    """Every size between is tried by the whole of the rules: none cures the fault without a new fail."""
    judged = faulty(fault)
    before = fails(findings(judged))
    for breach, change in cures(judged):
        if change is None or change.also is not None:
            continue
        shared = [one.rule for one, other in cures(judged) if other == change]
        for nearer in between(judged, change):
            after = fails(judged_again(judged, nearer))
            cured = all(not after[rule, breach.subject] for rule in shared)
            assert not (cured and after <= before), nearer.said(judged.system).text


def test_two_oversized_fuses_have_one_answer(tmp_path):
    """A feed of 6 mm² behind two batteries, each with a fuse of 80 A: one of the two alone cures nothing."""
    van = spoilt(TWO_FUSES, tmp_path)
    (nearest,) = {f.nearest.text for f in failing(van) if f.rule == "fuse-above-capacity"}
    assert "for 'main fuse'" in nearest
    assert "for 'second main fuse'" in nearest
    for breach, change in cures(van):
        if breach.rule == "fuse-above-capacity":
            assert len(change.parts) == 2
            assert not fails(judged_again(van, change))[breach.rule, breach.subject]


def test_two_faults_of_one_fuse_have_one_answer(tmp_path):
    """4 A at a load of 4.5 A that starts with 9 A: both faults are cured by the same fuse."""
    fault = next(f for f in RULE_FAULTS if f.rule == "fuse-opens-too-late" and f.severity == "fail")
    van = spoilt(fault.changes, tmp_path)
    named = {f.nearest.text for f in failing(van) if f.subject == fault.subject}
    assert named == {"passes with: 20 A instead of 80 A for 'one fuse more'"}


PAPER = ("limit:", "limit '", "yes instead of no", ": yes", "not stated", "_")


def test_a_change_is_a_physical_one(tmp_path):
    """Nothing is cured by stating another limit of an item that stays where it is."""
    for number, fault in enumerate(RULE_FAULTS):
        if fault.severity == "fail":
            (tmp_path / str(number)).mkdir()
            for finding in failing(spoilt(fault.changes, tmp_path / str(number))):
                text = finding.nearest.text
                assert not text.startswith("passes with") or not any(word in text for word in PAPER), text


def test_no_panel_is_taken_from_the_roof(faulty):
    fault = next(f for f in FAULTS if f["found"][0].startswith("array-voltage-above-controller"))
    judged = faulty(fault)
    for breach, change in cures(judged):
        if breach.rule == "array-voltage-above-controller":
            before, after = judged.system.equipment, changed(judged.system, change).equipment
            assert {i: a.series * a.parallel for i, a in after.items() if a.kind == "solar-array"} == {
                i: a.series * a.parallel for i, a in before.items() if a.kind == "solar-array"
            }


def test_no_change_that_was_tried_is_only_said_if_one_was(tmp_path, monkeypatch):
    tried = spoilt(next(f for f in RULE_FAULTS if f.rule == "no-operating-point").changes, tmp_path)
    texts = {f.rule: f.nearest.text for f in failing(tried)}
    assert texts["no-operating-point"] == f"remedy: {rules()['no-operating-point'].cure.removesuffix('.')}"
    monkeypatch.setattr("vandoc.judgement.remedy.search.MAX_TRIALS_EACH", 1)
    monkeypatch.setattr("vandoc.judgement.remedy.search.MAX_TOGETHER", 1)
    fault = next(f for f in RULE_FAULTS if f.rule == "below-lowest-voltage")
    van = spoilt(fault.changes, tmp_path)
    (text,) = [f.nearest.text for f in failing(van) if f.rule == fault.rule]
    assert text.startswith("no change that was tried cures it")
    assert text.endswith(rules()[fault.rule].cure.removesuffix("."))


def test_a_fuse_that_breaks_too_little_is_not_replaced_by_another_such(tmp_path):
    """A 20 A blade fuse at the battery carries 25 A, and 3.35 kA is above its 1 kA (ISO 8820-3:2015)."""
    text = (Path(__file__).parent / "pairs" / "vans" / "small_agm.yml").read_text("utf-8")
    for old, new in (
        ("family: single-bolt, voltage: 58 V, breaking: 5 kA", "family: E, rating: 20 A, voltage: 32 V"),
        ("power: 10 W", "power: 300 W"),
        (
            "rating: 5 A}, cable: {length: 3 m, area: 1.5 mm²}",
            "rating: 40 A}, cable: {length: 3 m, area: 6 mm²}",
        ),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    (tmp_path / "van.yml").write_text(text, "utf-8")
    van = entry.read(tmp_path / "van.yml")
    named = {breach.rule: change for breach, change in cures(van) if breach.subject == "main-fuse"}
    assert {"fuse-below-current", "breaking-capacity"} <= set(named)
    for change in named.values():
        assert change.kind == "family"
        assert change.then not in ("C", "E", "F", "SF30", "SF51")  # 1 kA and 2 kA


def test_a_cable_in_parallel_is_made_like_its_twin(tmp_path):
    """Of two cables of 1 m and 3 m the short one is replaced; cut to 1 m the long one may not reach."""
    text = (Path(__file__).with_name("pairs") / "vans" / "bonded.yml").read_text("utf-8")
    twin = "  - {id: inverter-plus-2, from: main-board.2, to: inverter.+, length: 3 m, area: 25 mm²}\n"
    path = tmp_path / "van.yml"
    path.write_text(text.replace("  - {id: inverter-minus,", twin + "  - {id: inverter-minus,"), "utf-8")
    van = entry.read(path, tmp_path)
    (found,) = [one for one in findings(van) if one.rule == "parallel-cables-unlike"]
    assert found.nearest is not None
    assert "3 m instead of 1 m for the length of cable 'inverter-plus'" in found.nearest.text
    assert "35 mm² instead of 25 mm² for cable 'inverter-plus-2'" in found.nearest.text
