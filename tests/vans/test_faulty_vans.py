"""A sound van with one fault: exactly that fault is found, and at the place where it was put."""

from pathlib import Path

import pytest
import yaml

from vandoc.analysis import Van
from vandoc.judgement.checks import rules, run
from vandoc.reading.loader import load

SITES = Path(__file__).parents[2] / "sites"
FAULTS = yaml.safe_load(Path(__file__).with_name("faults.yml").read_text("utf-8"))


def judge(path):
    return [f for f in run(Van.of(load(path))) if f.severity != "note"]


def named(findings):
    return {f"{finding.rule} {finding.severity} {finding.subject}" for finding in findings}


@pytest.fixture(scope="module")
def sound():
    return {name: named(judge(SITES / name / "van.yml")) for name in ("curlew", "heron", "wren")}


@pytest.fixture
def beside(tmp_path):
    """A folder in which a changed van finds its part sheets and pictures."""
    (tmp_path / "parts").symlink_to(SITES / "parts")

    def place(van):
        (tmp_path / van).mkdir()
        for picture in (SITES / van).glob("*.png"):
            (tmp_path / van / picture.name).write_bytes(picture.read_bytes())
        return tmp_path / van / "van.yml"

    return place


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault['van']}-{fault['found'][0].split()[0]}")
def test_exactly_the_fault_is_found(fault, sound, beside):
    text = (SITES / fault["van"] / "van.yml").read_text("utf-8")
    assert text.count(fault["old"]) == 1, "what is changed must stand once"
    assert len(fault["found"]) == 1 or fault["why"], "more than one finding needs its reason"
    path = beside(fault["van"])
    path.write_text(text.replace(fault["old"], fault["new"]), "utf-8")
    findings = judge(path)
    assert named(findings) - sound[fault["van"]] == set(fault["found"])


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault['van']}-{fault['found'][0].split()[0]}")
def test_the_rule_exists_with_that_severity_or_cannot_check(fault):
    for line in fault["found"]:
        slug, severity, _ = line.split()
        assert severity in (rules()[slug].severity, "review")


def test_there_are_many_and_every_family_is_among_them():
    assert len(FAULTS) >= 24
    slugs = {line.split()[0] for fault in FAULTS for line in fault["found"]}
    families = {rule.family for rule in rules().values()} - {"revisions"}  # tests/archive
    assert families == {rules()[slug].family for slug in slugs}
    assert {fault["van"] for fault in FAULTS} == {"curlew", "heron", "wren"}
