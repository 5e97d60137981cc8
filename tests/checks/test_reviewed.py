"""Reviews by persons: each finding to be reviewed can be accepted by an honest entry, and only as it is."""

from dataclasses import replace

import pytest
import yaml

from tests.checks.conftest import SOUND, changed, judge
from tests.checks.test_measured import CASES, service
from tests.checks.test_rules import FAULTS
from tests.reviews import EVIDENCE, WHY, cleared, entry, met
from tests.vans.test_pairs import PAIRS, written
from vandoc.doors.cli.checking import as_text, counts
from vandoc.judgement.checks import rules

REVIEWS = [fault for fault in FAULTS if fault.severity == "review"]
MEASURED = [case for case, (_, found) in CASES.items() if any("review" in one for one in found)]
ELSEWHERE = {"review-void", "review-of-fail"}  # cured by correcting the entry itself, below
ELSEWHERE |= {"acknowledgement-void"}  # likewise, in tests/vans/test_old_fitting.py
# Vans with a chemistry of a package (tests/chemistries), and with sizes left open (tests/energy).
ELSEWHERE |= {"chemistry-not-known", "cold-limit-not-known", "gas-not-known", "relay-charges-lithium"}
ELSEWHERE |= {"charge-current-above-limit", "no-battery-fits", "no-charger-fits"}
RISING = [
    service(f"{year}-05-01", value) for year, value in ((2024, "380 mV"), (2025, "420 mV"), (2026, "460 mV"))
]
VANS = {
    "language-not-installed": {("van", "language"): "cy"},
    "trend-crosses-limit": {("services",): RISING},
    "breaking-capacity": {
        ("van", "nominal"): "48 V",
        ("equipment", "house", "series"): 4,
        ("equipment", "main-fuse", "voltage"): "58 V",
    },
}


@pytest.mark.parametrize("fault", REVIEWS, ids=str)
def test_every_review_is_cleared_by_an_honest_entry(fault, tmp_path):
    assert fault.rule in cleared(changed(SOUND, fault.changes), tmp_path / "van.yml")


@pytest.mark.parametrize("case", MEASURED)
def test_every_review_of_a_reading_is_cleared_by_an_honest_entry(case, tmp_path):
    changes, found = CASES[case]
    assert {rule for rule, _, _ in found} <= cleared(changed(SOUND, changes), tmp_path / "van.yml")


@pytest.mark.parametrize("rule", VANS)
def test_reviews_of_more_than_one_change_are_cleared_by_an_honest_entry(rule, tmp_path):
    assert rule in cleared(changed(SOUND, VANS[rule]), tmp_path / "van.yml")


@pytest.mark.parametrize("pair", [p for p in PAIRS if p["severity"] == "review"], ids=lambda p: p["rule"])
def test_every_review_of_a_pair_is_cleared_by_an_honest_entry(pair, tmp_path):
    plain = yaml.safe_load(written(pair, "dangerous", tmp_path).read_text("utf-8"))
    if "reviewed" not in plain:
        assert pair["rule"] in cleared(plain, tmp_path / "van.yml")


def test_every_rule_that_can_ask_for_a_review_is_among_them():
    asks = {slug for slug, rule in rules().items() if rule.severity == "review" or rule.unknown}
    measured = {rule for case in MEASURED for rule, _, _ in CASES[case][1]}
    paired = {pair["rule"] for pair in PAIRS if pair["severity"] == "review"}
    missing = asks - {fault.rule for fault in REVIEWS} - measured - set(VANS) - paired - ELSEWHERE
    assert not missing


def judged_with(plain, entries, folder):
    path = folder / "reviewed"
    path.mkdir(exist_ok=True)
    return judge({**plain, "reviewed": entries}, path)


@pytest.fixture
def relayed(spoil):
    """A van with one review that has figures, and the change that causes it."""
    fault = next(f for f in REVIEWS if f.rule == "relay-current-unlimited")
    judged = spoil(fault.changes)
    (found,) = judged.of(fault.rule)
    return fault, judged, found


def test_a_review_is_void_as_soon_as_a_value_changes(relayed, tmp_path):
    fault, _, found = relayed
    plain = changed(SOUND, {**fault.changes, ("equipment", "house", "charge_limit"): "3 A"})
    after = judged_with(plain, [entry(found)], tmp_path)
    (still,) = after.of(fault.rule)
    assert still.open
    (void,) = after.of("review-void")
    assert found.accepts in void.message
    assert still.accepts in void.message
    assert void.severity == "review"
    assert void.line == after.line(("reviewed", 0, "accepts"))
    again = judged_with(plain, [entry(still)], tmp_path)
    assert not again.of("review-void")
    assert not again.of(fault.rule)[0].open


def test_a_void_review_cannot_itself_be_accepted(relayed, tmp_path):
    fault, _, found = relayed
    wrong = entry(found, accepts="1 A")
    first = judged_with(changed(SOUND, fault.changes), [wrong], tmp_path)
    (void,) = first.of("review-void")
    after = judged_with(changed(SOUND, fault.changes), [wrong, entry(void)], tmp_path)
    assert all(one.open for one in after.of("review-void"))


def test_a_review_never_clears_a_fail(spoil, tmp_path):
    fault = next(f for f in FAULTS if f.rule == "fuse-above-capacity" and f.severity == "fail")
    before = spoil(fault.changes)
    failed = before.of(fault.rule)[0]
    assert failed.accepts == ""
    after = judged_with(changed(SOUND, fault.changes), [entry(failed, accepts=failed.message)], tmp_path)
    assert after.of(fault.rule)[0].reviewed is None
    assert [f.severity for f in after.of("review-of-fail")] == ["review"]
    assert met(after.findings) == met(before.findings)


def test_a_review_of_nothing_is_told(sound, tmp_path):
    made = entry(sound.findings[0], rule="no-such-rule", accepts="1 A")
    after = judged_with(SOUND, [made], tmp_path)
    assert [(f.rule, f.severity) for f in after.findings][-3:].count(("review-not-needed", "note")) == 1
    assert met(after.findings) == met(sound.findings)


def test_a_review_changes_no_result(relayed, tmp_path):
    """Figures, sizes and states are those of the van without it: only the finding differs."""
    fault, before, found = relayed
    after = judged_with(changed(SOUND, fault.changes), [entry(found)], tmp_path)
    assert after.van.sizing == before.van.sizing
    assert after.van.energy == before.van.energy
    assert after.van.faults.at_fuse_a == before.van.faults.at_fuse_a
    plain = [replace(one, file="", line=0, column=0, reviewed=None) for one in after.findings]
    assert plain == [replace(one, file="", line=0, column=0) for one in before.findings]


def test_a_review_is_shown_as_such(relayed, tmp_path):
    fault, _, found = relayed
    after = judged_with(changed(SOUND, fault.changes), [entry(found)], tmp_path)
    (shown,) = after.of(fault.rule)
    assert f"reviewed by Reed Electrics on 2026-05-02: {WHY} ({EVIDENCE})" in as_text(shown)
    assert counts(after.findings).endswith("0 review, 2 note, 1 reviewed")
