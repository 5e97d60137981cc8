"""Chemistries from outside the package go through check, build, prove and print; unknown is never safe.

What their pages must and must not say is in the table of `tests/says`.
"""

import ast
import re
from dataclasses import replace
from html import unescape
from io import BytesIO

import pytest
import yaml
from pypdf import PdfReader

import vandoc
from tests.chemistries.added import all_added, chemistry
from tests.conftest import ROOT
from tests.reviews import cleared
from tests.says.vans import small
from vandoc.analysis.diagnosis.proof import Prover
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.doors.build import print_paper, read
from vandoc.ground.chemistry import Chemistry, Names, chemistry_of, known, with_chemistry
from vandoc.ground.chemistry import read as read_chemistry
from vandoc.ground.errors import SystemFileError
from vandoc.judgement.checks import run
from vandoc.paper.printing import LabelOptions

NAMED = {"NCA": "nmc", "Na-ion": "sodium", "novel": "novel"}
LEAD_AND_LITHIUM = {"gas", "acid", "open cells", "frost", "lithium cold", "lithium fire"}


@pytest.fixture(scope="module", autouse=True)
def _chemistries():
    with all_added():
        yield


@pytest.fixture(scope="module")
def van_of(tmp_path_factory):
    def made(key, **changes):
        has = ["isolator", "mains", "relay"]
        stated = small(leisure=[key], starter="AGM", has=has)
        stated["equipment"]["house-0"] |= changes
        file = tmp_path_factory.mktemp("van") / "van.yml"
        file.write_text(yaml.safe_dump(stated, allow_unicode=True), "utf-8")
        return read(file)

    return made


@pytest.fixture(scope="module", params=NAMED)
def van(request, van_of):
    return van_of(request.param)


def of(van, rule):
    return [one for one in run(van) if one.rule == rule]


# A trait that is not known


def test_nothing_known_could_be_anything():
    novel = chemistry("novel")
    assert novel.hazards == LEAD_AND_LITHIUM
    assert all(novel.could_be(family) for family in ("lead", "lithium", "sodium", "other"))
    assert len(novel.unknown) > 30


@pytest.mark.parametrize("key", ["flooded", "AGM", "gel", "LiFePO4", "NCA", "Na-ion"])
def test_what_is_known_is_no_hazard_of_another_family(key):
    hazards = chemistry_of(key).hazards
    wanted = {
        "lead": {"gas", "acid", "frost"},
        "lithium": {"lithium cold", "lithium fire"},
        "sodium": {"cold", "fire"},
    }[chemistry_of(key).family]
    assert hazards - {"open cells"} == wanted
    assert ("open cells" in hazards) == (key == "flooded")


@pytest.mark.parametrize(
    ("key", "trait", "hazard"),
    [
        ("LiFePO4", "gassing", "gas"),
        ("LiFePO4", "first_aid", "acid"),
        ("AGM", "vented", "open cells"),
        ("Na-ion", "freezing", "frost"),
        ("AGM", "fire", "fire"),
        ("AGM", "plating", "cold"),
    ],
)
def test_a_trait_that_becomes_unknown_adds_its_hazard_and_takes_none_away(key, trait, hazard):
    sure = chemistry_of(key)
    doubtful = replace(sure, **{trait: None})
    assert hazard not in sure.hazards
    assert doubtful.hazards == {*sure.hazards, hazard}
    assert doubtful.unknown == (trait,) or (trait == "gassing" and trait in doubtful.unknown)


def test_an_unknown_chemistry_is_a_review_of_all_that_cannot_be_checked(van_of):
    found = {one.rule: one for one in run(van_of("novel"))}
    for rule in ("chemistry-not-known", "cold-limit-not-known", "charge-current-above-limit"):
        assert found[rule].severity == "review", rule
    for rule in ("relay-charges-lithium", "battery-above-discharge-limit", "battery-not-ventilated"):
        assert found[rule].severity == "review", rule
    said = found["chemistry-not-known"].message
    for trait in ("whether it gives off gas", "the first aid", "how it burns", "charging voltages"):
        assert trait in said


def test_gas_that_is_not_known_is_a_review_where_the_vents_are_known(tmp_path):
    stated = small(leisure=["novel"], has=["isolator"])
    stated["places"]["box"] |= {"vents_to": "outside", "vent": "100 cm²"}
    (tmp_path / "van.yml").write_text(yaml.safe_dump(stated, allow_unicode=True), "utf-8")
    (finding,) = of(read(tmp_path / "van.yml"), "gas-not-known")
    assert finding.severity == "review"


def test_what_is_asked_of_an_unknown_chemistry_is_cleared_by_an_honest_entry(tmp_path):
    stated = small(leisure=["novel"], starter="AGM", has=["isolator", "mains", "relay"])
    done = cleared(stated, tmp_path / "van.yml")
    assert done >= {"chemistry-not-known", "cold-limit-not-known", "relay-charges-lithium"}
    assert "charge-current-above-limit" in done
    stated["places"]["box"] |= {"vents_to": "outside", "vent": "100 cm²"}
    assert "gas-not-known" in cleared(stated, tmp_path / "van.yml")


def test_what_the_file_states_is_not_asked_again(van_of):
    stated = van_of("novel", charge_limit="50 A", discharge_limit="200 A", low_temperature_lockout=True)
    rules = {one.rule for one in run(stated)}
    assert not rules & {"cold-limit-not-known", "charge-current-above-limit", "battery-above-discharge-limit"}


@pytest.mark.parametrize("key", ["NCA", "Na-ion", "LiFePO4", "AGM"])
def test_a_known_chemistry_has_no_such_review(van_of, key):
    rules = {one.rule for one in run(van_of(key))}
    assert not rules & {"chemistry-not-known", "cold-limit-not-known", "gas-not-known"}


def test_nothing_is_measured_against_a_figure_that_is_not_known(van_of):
    kinds = {
        one.kind for one in van_of("novel").measurements.values() if "house" in one.id or "board" in one.id
    }
    assert not kinds & {"rest-voltage", "charge-voltage", "voltage"}
    assert {"rest-voltage", "charge-voltage"} <= {one.kind for one in van_of("NCA").measurements.values()}


def test_no_size_and_no_budget_is_made_up(van_of, tmp_path):
    assert van_of("novel").energy.banks == ()
    assert len(van_of("NCA").energy.banks) == 1
    stated = small(leisure=["novel"], has=["isolator"])
    del stated["equipment"]["house-0"]["capacity"]
    (tmp_path / "van.yml").write_text(yaml.safe_dump(stated, allow_unicode=True), "utf-8")
    with pytest.raises(SystemFileError, match="usual sizes of 'novel' are not known; state 'capacity'"):
        read(tmp_path / "van.yml")


# A chemistry of others


def test_it_is_checked_by_its_own_limits(van_of):
    """Three cells of 4.1 to 4.2 V: 12.3 to 12.6 V; 14.4 V would be far above."""
    profile = {"absorption": "14.4 V", "temperature_sensor": False}
    stated = small(leisure=["NCA"], has=["isolator", "mains"])
    stated["equipment"]["hook-up"]["profile"] = profile
    van = van_of("NCA")
    file = van.van_file.path.with_name("profile.yml")
    file.write_text(yaml.safe_dump(stated, allow_unicode=True), "utf-8")
    (finding,) = of(read(file), "absorption-voltage")
    assert (finding.severity, finding.value) == ("fail", 14.4)
    assert finding.limit == pytest.approx(12.6)
    (cold,) = [one for one in run(van) if one.rule == "lithium-charged-in-cold"]
    assert cold.limit == 0


def test_a_chemistry_that_charges_in_frost_may_be_as_cold_as_its_limit(van_of):
    assert not of(van_of("Na-ion"), "lithium-charged-in-cold")  # the default is −10 °C


def test_it_is_proved(van):
    proof = Prover(Diagnosis(van)).prove(draws=1)
    assert (proof.lost, proof.early) == ((), ())
    assert proof.walks


def test_it_is_built_and_printed(van):
    pages = vandoc.manual_pages(van)
    battery = van.system.equipment["house-0"]
    assert battery.traits.names.owner in unescape(pages["battery.md"])
    assert battery.traits.names.electrician in pages["electrician/piece/house-0.md"]
    files = print_paper(van, ("labels",), LabelOptions()).files
    (labels,) = [content for name, content in files.items() if name.endswith(".pdf")]
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(labels)).pages)
    assert battery.traits.names.owner in " ".join(text.split())


# The registry


def test_a_chemistry_is_added_and_never_replaces_one():
    names = Names("a", "a", "a", "a")
    for key in ("AGM", "NCA"):
        with (
            pytest.raises(ValueError, match=f"a chemistry '{key}' already"),
            with_chemistry(Chemistry(key, names)),
        ):
            pass
    ours = ["flooded", "EFB", "AGM", "gel", "lead-carbon", "LiFePO4", "NMC", "LTO", "sodium-ion"]
    assert list(known())[:9] == ours


RANGE = "{low: 1, high: 2, source: x, memory: true}"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("- list", "not traits of a chemistry: no traits"),
        ("key: x\ncolour: red", "not traits of a chemistry: colour"),
        ("key: x\nnames: {}", "not traits of a chemistry: names"),
        ("family: lead", "'key' is missing"),
        ("key: [", "bad.yml"),
        ("key: x\nfamily: zinc", "family: 'zinc' is not one of lead, lithium, sodium, other"),
        ("key: x\ngassing: 0", "gassing: 0 is not true or false"),
        ("key: x\ncare: zinc", "care: 'zinc' is not one of flooded, AGM, gel, lithium"),
        ("key: x\ncell_v: true", "cell_v: True is not a number"),
        ("key: x\ncell_v: .inf", "cell_v: inf is not a number"),
        ("key: x\ncells: {12: 3.5}", "cells: 3.5 is not a number of cells"),
        ("key: x\ncells: [12]", "cells: a table is needed"),
        ("key: x\nblocks_v: 12", "blocks_v: a list is needed"),
        (f"key: x\nabsorption_v: {RANGE}", "absorption_v: a table with cells, high, low, memory, source"),
        ("key: x\ncycle_life: {low: 2, high: 1, source: x, memory: true}", "cycle_life: low is above high"),
        ("key: x\ncycle_life: {low: 1, high: 2, source: '', memory: true}", "cycle_life: 'source' is text"),
        ("key: x\ncycle_life: {low: 1, high: 2, source: x, memory: 1}", "cycle_life: 'source' is text"),
        (
            "key: x\nrest: {cells: 1, source: x, memory: true, percent_v: {100: 3, 10: 2}}",
            "rest: percent_v runs",
        ),
        (
            "key: x\nrest: {cells: 1, source: x, memory: true, percent_v: {100: 2, 0: 3}}",
            "rest: percent_v runs",
        ),
        ("key: x\ncold: [{celsius: 3}]", "cold: a table with celsius"),
    ],
)
def test_a_faulty_file_is_told_with_its_place(text, said, tmp_path):
    file = tmp_path / "bad.yml"
    file.write_text(text, "utf-8")
    with pytest.raises(ValueError, match=r"^bad\.yml: ") as error:
        read_chemistry(file)
    assert said in str(error.value)


def test_a_file_without_names_is_refused(tmp_path):
    file = tmp_path / "x.yml"
    file.write_text("key: x", "utf-8")
    with pytest.raises(LookupError, match=r"x\.en\.yml"):
        read_chemistry(file)
    (tmp_path / "x.en.yml").write_text("owner: x", "utf-8")
    with pytest.raises(LookupError, match="its words are owner, electrician, full, family"):
        read_chemistry(file)


# Nobody asks for a name


ANSWERS = {("reading/starter/questions.py", "LiFePO4")}  # the answer that is offered first


def test_no_code_asks_for_a_chemistry_by_its_name():
    """Each question is about a trait: no key and no family stands in code, none is compared in a template."""
    own = {*known(), "lead", "lithium", "sodium"}
    package = ROOT / "vandoc"
    found = set()
    for path in package.rglob("*.py"):
        inside = str(path.relative_to(package))
        if not inside.startswith("ground/chemistry/"):
            nodes = ast.walk(ast.parse(path.read_text("utf-8")))
            texts = {
                node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)
            }
            found |= {(inside, text) for text in texts & own}
    for path in package.rglob("*.j2"):
        for asked in re.findall(r"{%.*?%}|{{.*?}}", path.read_text("utf-8")):
            found |= {(str(path.relative_to(package)), key) for key in own if f'"{key}"' in asked}
    assert found == ANSWERS
