"""Each faulty van that one change of a size cures: the change that is named really cures it."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from vandoc.analysis import Van
from vandoc.doors import build as entry
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
HOPELESS |= {"spark-in-gas-locker"}


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
            continue
        assert nearest.key
        assert nearest.then in nearest.text or change.kind == "sheathed"
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
    assert nearest.text.count("50 mm²") == 2
    assert "'battery-minus'" in nearest.text
    changes = {(breach.rule, breach.subject): change for breach, change in cures(judged)}
    after = fails(judged_again(judged, changes["cable-above-capacity", "battery-plus"]))
    assert not after["cable-above-capacity", "battery-plus"]
    assert after <= fails(findings(judged))


def test_voltage_lost_in_a_feed_and_its_circuit_is_saved_in_both(faulty):
    judged = faulty({"van": "curlew", "old": "area: 25 mm²", "new": "area: 10 mm²"})
    (nearest,) = [f.nearest for f in failing(judged) if f.rule == "voltage-drop"]
    assert "together with" in nearest.text
