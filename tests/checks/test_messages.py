"""The message files: complete, in step with the code, and filled without a gap."""

import re
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from string import Formatter

import pytest

from vandoc.ground.messages import LANGUAGE
from vandoc.judgement import checks
from vandoc.judgement.checks.finding import SEVERITIES
from vandoc.judgement.checks.rule import RegisteredRules, fail, registered, rules

REMOVE = "(remove)"


def fields(template: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(template) if name is not None}


@pytest.mark.parametrize("rule", rules().values(), ids=lambda rule: rule.slug)
def test_a_rule_says_all_that_its_page_needs(rule):
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", rule.slug)
    assert rule.severity in SEVERITIES
    for text in (rule.title, rule.message, rule.why, rule.cure, rule.source):
        assert text
        assert text == text.strip()
    assert not rule.title.endswith(".")
    for text in (rule.message, rule.why, rule.cure, *filter(None, [rule.unknown])):
        assert text.endswith(".")
        assert "  " not in text
    assert not rule.unknown or rule.unknown.startswith("Cannot check ")
    assert not fields(rule.why + rule.cure + rule.title + rule.source)
    for name in fields(rule.message + rule.working + rule.step + rule.unknown):
        assert re.fullmatch(r"[a-z_0-9]+", name), "templates take plain words only"


def test_code_and_words_name_the_same_rules():
    declared = [slug for one in registered() for slug in one.slugs]
    assert sorted(declared) == sorted(rules())


def test_every_file_in_the_folders_of_rules_holds_a_check_and_has_its_words():
    folder = Path(str(files("vandoc.judgement.checks.rules")))
    code = {path for path in folder.glob("*/*.py") if path.name != "__init__.py"}
    assert {one.file for one in registered()} == code
    assert {path.with_suffix(f".{LANGUAGE}.yml") for path in code} == set(folder.glob(f"*/*.{LANGUAGE}.yml"))
    assert {one.family for one in registered()} == {
        path.name for path in folder.iterdir() if path.is_dir()
    } - {"__pycache__"}


def check_nothing(_van):
    """A rule of this test's own, which finds nothing."""
    return iter(())


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        (None, "its words are missing: rule.en.yml"),
        ("{}", "but words for \\[\\]"),
        ("this-rule: {title: A}\nthat-rule: {title: B}\n", "but words for \\['that-rule', 'this-rule'\\]"),
    ],
)
def test_code_without_words_and_words_without_code_are_told(tmp_path, words, wrong):
    if words is not None:
        (tmp_path / "rule.en.yml").write_text(words)
    with pytest.raises(LookupError, match=wrong):
        RegisteredRules(check_nothing, (fail("this-rule"),), tmp_path / "rule.py").words()


def test_rules_are_public_by_name():
    assert checks.rules()["fuse-above-capacity"].severity == "fail"


HOSTILE = [
    "{0.__class__}",
    "{value}",
    "<script>alert(1)</script>",
    "]]><!-- --> & \" ' `",
    "a | b ** c _d_ [x](javascript:y)",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_come_out_as_they_are(name, spoil):
    judged = spoil(
        {
            ("equipment", "main-fuse", "name"): name,
            ("equipment", "isolator", "name"): f"{name} 2",
            ("equipment", "house", "name"): f"{name} 3",
            ("places", "engine", "label"): name,
            ("loads", "lights", "name"): f"{name} 4",
            ("cables", "battery-plus", "length"): "2 m",
            ("equipment", "isolator", "torque"): REMOVE,
            ("places", "engine", "hottest"): "40 °C",
            ("circuits", "lighting", "cable", "length"): "60 m",
        }
    )
    found = {finding.rule: finding for finding in judged.findings}
    for rule in ("fuse-too-far", "torque-not-stated", "engine-space-cooler", "voltage-drop"):
        assert name in found[rule].message


def test_findings_are_in_the_order_of_the_file_and_the_same_each_time(spoil, judge_again):
    judged = spoil(
        {
            ("equipment", "isolator", "torque"): REMOVE,
            ("places", "box", "access"): REMOVE,
            ("circuits", "water", "fuse", "rating"): "12 A",
            ("cables", "charge-in", "metal"): REMOVE,
        }
    )
    places = [(finding.line, finding.column) for finding in judged.findings]
    assert places == sorted(places)
    assert judge_again(judged) == judged.findings
    assert len(set(judged.findings)) == len(judged.findings)


AT_FIRST = [
    "short-circuit",
    "batteries-in-series",
    "not-fed",
    "wrong-voltage",
    "no-fuse",
    "fuse-too-far",
    "fuse-above-capacity",
    "source-above-capacity",
    "insulation-below-place",
    "cable-above-capacity",
    "no-size-fits",
    "no-fuse-fits",
    "fuse-below-current",
    "fuse-above-continuous",
    "fuse-below-start",
    "fuse-voltage",
    "fuse-above-family",
    "fuse-not-standard",
    "breaking-capacity",
    "short-circuit-unseen",
    "fuse-opens-too-late",
    "current-above-rating",
    "fuse-above-rating",
    "voltage-drop",
    "no-operating-point",
    "below-lowest-voltage",
    "state-current-above-capacity",
    "state-current-above-fuse",
    "return-below-supply",
    "fuse-above-return",
    "earth-point-not-clean",
    "earth-point-shared",
    "sensor-bypassed",
    "shunt-bypassed",
    "split-charge-on-smart-alternator",
    "charger-without-own-voltage",
    "charger-without-ignition-feed",
    "alternator-overdrawn",
    "charge-current-above-limit",
    "charger-feeds-nothing",
    "absorption-voltage",
    "lithium-charged-in-cold",
    "array-voltage-above-controller",
    "array-current-above-controller",
    "array-above-controller",
    "no-isolator",
    "parallel-batteries-unlike",
    "parallel-batteries-uneven",
    "battery-above-discharge-limit",
    "no-grommet",
    "spark-in-gas-locker",
    "battery-not-ventilated",
    "battery-vent-too-small",
    "connection-resistive",
    "drop-measured-high",
    "charge-voltage-measured",
]
"""The 56 rules that failed a van before sources were sought."""


def test_most_rules_that_fail_a_van_have_a_readable_source_and_none_was_demoted():
    every = checks.rules()
    assert len(AT_FIRST) == 56
    assert [slug for slug in AT_FIRST if every[slug].severity != "fail"] == []
    documented = [slug for slug in AT_FIRST if every[slug].documented]
    assert len(documented) >= 0.6 * len(AT_FIRST)


@pytest.mark.parametrize(
    ("source", "documented"),
    [
        ("33 CFR 183.455(b)", True),
        ("NFPA 70:2023 110.3(B); the manufacturer's rating", True),
        ("common practice, no source", False),
        ("the manufacturer's limit; common practice, no source", False),
        ("EN 1949 (gas lockers), from memory", False),
        ("nodal analysis of the van's wiring, textbook method", False),
    ],
)
def test_a_source_that_was_recalled_or_is_practice_is_no_document(source, documented):
    assert replace(checks.rules()["no-fuse"], source=source).documented == documented
