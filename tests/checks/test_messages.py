"""The message files: complete, in step with the code, and filled without a gap."""

import re
from importlib.resources import files
from string import Formatter

import pytest

from vandoc import checks
from vandoc.checks.finding import SEVERITIES
from vandoc.checks.rule import FAMILIES, rules
from vandoc.checks.rule import checks as registered

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


def test_code_and_messages_name_the_same_rules():
    yielded = [slug for slugs in registered().values() for slug in slugs]
    assert sorted(yielded) == sorted(rules())


def test_each_family_has_its_module_and_its_messages():
    folder = files("vandoc.checks")
    messages = {p.name.removesuffix(".yml") for p in folder.joinpath("messages/en").iterdir()}
    assert messages == {*FAMILIES, "phrases"}
    for check, slugs in registered().items():
        family = check.__module__.rpartition(".")[2]
        assert {rules()[slug].family for slug in slugs} == {family}


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
            ("equipment", "isolator", "name"): name,
            ("equipment", "house", "name"): name,
            ("places", "engine", "label"): name,
            ("loads", "lights", "name"): name,
            ("cables", "battery-plus", "length"): "2 m",
            ("equipment", "isolator", "torque"): REMOVE,
            ("places", "engine", "hottest"): "40 °C",
            ("circuits", "lighting", "cable", "length"): "60 m",
        }
    )
    found = {finding.rule: finding for finding in judged.findings}
    for rule in ("fuse-too-far", "torque-not-stated", "engine-space-cooler", "voltage-drop"):
        assert name in found[rule].message


def test_findings_stand_in_the_order_of_the_file_and_are_the_same_each_time(spoil, judge_again):
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
