"""Whatever is answered, the starting van is valid and breaks no rule."""

import re
from dataclasses import replace
from itertools import product

import jsonschema
import pytest
import yaml

from tests.starter.answered import STARTING, crossed, fails, random_sets, suited
from vandoc.analysis import Van
from vandoc.judgement.checks import run
from vandoc.reading.loader import load
from vandoc.reading.schema import json_schema
from vandoc.reading.starter import QUESTIONS, Answers, refuse_together, render, van_text
from vandoc.reading.yamltree import parse

BY_KEY = {question.key: question for question in QUESTIONS}


def judge(answers, folder):
    (folder / "van.yml").write_text(van_text(answers, "k3x9-token"), "utf-8")
    van_file = load(folder / "van.yml", folder)
    van = Van.of(van_file)
    return van_file, van.sizing, run(van)


NO_YES = (False, True)
CHOICES = list(product((12, 24, 48), STARTING, ("smart", "fixed"), NO_YES, NO_YES, NO_YES))


@pytest.mark.parametrize("nominal_v", [12, 24, 48])
@pytest.mark.parametrize("chemistry", STARTING)
def test_no_combination_of_choices_breaks_a_rule(nominal_v, chemistry, tmp_path):
    """Powers and capacities go to the ends of what the questions take, turn and turn about.

    Half of the combinations: whatever three of the four choices are, they meet (a half fraction of the full
    design; NIST/SEMATECH e-Handbook of Statistical Methods, 5.3.3.4, from memory). The benchmark
    `tests/benchmarks/new_vans.py` takes all.
    """
    choices = [choice for choice in CHOICES if choice[:2] == (nominal_v, chemistry)]
    assert len(choices) == 16
    odd = ((12, 24, 48).index(nominal_v) + STARTING.index(chemistry)) % 2
    for number, (_, _, regulation, solar, charger, inverter) in enumerate(choices):
        if ((regulation == "smart") + solar + charger + inverter) % 2 != odd:
            continue
        answers = Answers(
            nominal_v=nominal_v,
            chemistry=chemistry,
            regulation=regulation,
            solar_w=(20.0, 800.0)[number // 2 % 2] if solar else 0.0,
            mains_charger=charger,
            inverter_w=(100.0, 2500.0)[number % 3 > 0] if inverter else 0.0,
            batteries=(2, 1)[number % 5 > 1],
            capacity_ah=(40.0, 400.0)[number % 5 > 1],
            driver=("left", "right")[number % 2],
        )
        answers = suited(answers)
        van_file, sizing, findings = judge(answers, tmp_path)
        assert [str(f) for f in findings if f.severity == "fail"] == [], answers
        assert sizing.unfed == ()
        pieces = van_file.system.equipment
        assert ("panels" in pieces, "hook-up" in pieces, "inverter" in pieces) == (solar, charger, inverter)
        assert van_file.system.van.nominal_v == nominal_v
        assert pieces["house"].chemistry == chemistry
        assert pieces["alternator"].regulation == regulation


@pytest.mark.parametrize("seed", range(5))
def test_random_answers_break_no_rule_either(seed, tmp_path):
    """All choices crossed with the ends of all numbers: tests/benchmarks/new_vans.py."""
    for answers in random_sets(seed, 10):
        assert fails(answers, tmp_path) == [], answers


def test_each_choice_and_each_end_is_crossed():
    rows = [
        (a.nominal_v, a.chemistry, a.regulation, a.mains_charger, a.capacity_ah, a.solar_w) for a in crossed()
    ]
    assert len(rows) == 3 * len(STARTING) * 3 * 2 * 3 * 4 * 3
    assert len(set(rows)) == len(rows) / 3
    random = [answers for seed in range(5) for answers in random_sets(seed, 10)]
    assert len(set(random)) == 50
    for key in ("solar_w", "inverter_w"):
        assert {getattr(answers, key) == 0 for answers in random} == {True, False}


def test_the_defaults_are_what_empty_answers_mean():
    read = {question.key: question.read(question.default) for question in QUESTIONS}
    assert Answers(**read) == Answers()


def test_the_answers_are_in_the_file(tmp_path):
    answers = Answers(
        name="Tern",
        base="bus",
        length_m=5.4,
        width_m=1.9,
        driver="right",
        workshop="Reed",
        phone="+44 1632 960 111",
        site="https://example.org/v",
        solar_w=300.0,
    )
    van_file, _, _ = judge(answers, tmp_path)
    system = van_file.system
    assert (system.van.name, system.van.base, system.van.size.driver) == ("Tern", "bus", "right")
    assert (system.van.size.length_m, system.van.size.width_m) == (5.4, 1.9)
    assert (system.workshop.name, system.workshop.phone) == ("Reed", "+44 1632 960 111")
    assert system.van.published == "https://example.org/v/k3x9-token/"
    panels = system.equipment["panels"]
    assert panels.power_w * panels.series * panels.parallel == 300


HOSTILE = [
    '"', "'", "{{ 7*7 }}", "{% raw %}", "a: b", "- a", "#", "null", "yes", "012", "<script>alert(1)</script>",
    "\\", "&a *a", "!!str", "@", "`", "%", "é 车 🚐", "a, b]", "}",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_any_words_stay_words(text, tmp_path):
    answers = Answers(name=BY_KEY["name"].read(text), workshop=text, base=text, phone=text)
    van_file, _, _ = judge(answers, tmp_path)
    system = van_file.system
    assert {system.van.name, system.workshop.name, system.van.base, system.workshop.phone} == {text}


def test_it_is_commented_and_an_editor_finds_its_schema():
    files = render(Answers(), "k3x9-token")
    lines = files["van.yml"].splitlines()
    assert lines[0] == "# yaml-language-server: $schema=van.schema.json"
    assert sum(line.lstrip().startswith("#") for line in lines) > 30
    assert max(map(len, lines)) <= 200
    assert "\n\n\n" not in files["van.yml"]
    schema = yaml.safe_load(files["van.schema.json"])
    assert schema == json_schema()
    jsonschema.Draft202012Validator(schema).validate(parse(files["van.yml"], "van.yml").plain())


@pytest.mark.parametrize(
    "answers",
    [
        Answers(),
        Answers(chemistry="flooded", nominal_v=24, inverter_w=500.0),
        Answers(chemistry="gel", nominal_v=48, solar_w=0.0, mains_charger=False),
    ],
)
def test_commented_examples_are_valid_too(answers, tmp_path):
    """Each commented key, when the mark is taken away, is one that the loader knows."""
    text = van_text(answers, "k3x9-token")
    head, body = text.split("\nvan:", 1)
    bare = re.sub(r"^( *)# (sensor: true.*)$", "", body, flags=re.MULTILINE)  # stands beside a one-line entry
    bare = re.sub(r"^( *)# ((?: *- |  +)?[a-z_]+:.*|  *- \{.*)$", r"\1\2", bare, flags=re.MULTILINE)
    assert bare.count("#") < body.count("#") - 5
    (tmp_path / "van.yml").write_text(f"{head}\nvan:{bare}", "utf-8")
    system = load(tmp_path / "van.yml").system
    assert system.commissioning
    assert system.services
    assert system.equipment["driving"].indicators
    assert system.van.basis == "ISO 13297"


def test_the_published_address_cannot_be_guessed_and_is_only_proposed_while_there_is_no_site():
    proposed = van_text(Answers(), "k3x9-token")
    assert "  # published: https://example.org/v/k3x9-token/" in proposed
    assert render(Answers(), "k3x9-token") == render(Answers(), "k3x9-token")
    assert render(Answers(), "other") != render(Answers(), "k3x9-token")
    for token in ("", "a b", "../x", "a" * 65, "é"):
        with pytest.raises(ValueError, match="token"):
            render(replace(Answers(), site="https://example.org"), token)


# Question, what is typed, and what is said or understood.
TYPED = [
    ("name", "  ", "Please type something."),
    ("name", "x" * 81, "Please enter one line of no more than 80 characters."),
    ("name", "a\x1b[31m", "Please enter one line of no more than 80 characters."),
    ("name", " Tern ", "Tern"),
    ("phone", "", ""),
    ("nominal_v", "24 V", 24),
    ("nominal_v", "13", "Please type one of these: 12, 24, 48."),
    ("driver", "RIGHT", "right"),
    ("chemistry", "lifepo4", "LiFePO4"),
    ("chemistry", "lead", "Please type one of these: flooded, AGM, gel, LiFePO4."),
    ("capacity_ah", "110 Ah", 110.0),
    ("capacity_ah", "10", "Please type a number from 40 to 400 Ah."),
    ("capacity_ah", "nan", "Please type a number from 40 to 400 Ah."),
    ("capacity_ah", "inf", "Please type a number from 40 to 400 Ah."),
    ("length_m", "5,4", "Please type a number from 3 to 15 m."),
    ("length_m", "5.4m", 5.4),
    ("solar_w", "no", 0.0),
    ("solar_w", "250", 250.0),
    ("solar_w", "5", "Please type a number from 20 to 800 W, or no."),
    ("mains_charger", "Y", True),
    ("mains_charger", "no", False),
    ("mains_charger", "maybe", "Please type yes or no."),
    ("site", "", ""),
    ("site", "https://example.org/v/", "https://example.org/v"),
    (
        "site",
        "javascript:alert(1)",
        "Please type an address that begins with https://, or press Enter for none.",
    ),
    (
        "site",
        'https://example.org/"',
        "Please type an address that begins with https://, or press Enter for none.",
    ),
]


@pytest.mark.parametrize(("key", "typed", "outcome"), TYPED)
def test_a_question_reads_or_refuses_an_answer(key, typed, outcome):
    try:
        assert BY_KEY[key].read(typed) == outcome
    except ValueError as error:
        assert str(error) == outcome  # noqa: PT017 - the table says which of the two it is


def test_every_answer_is_asked_for_once():
    assert [question.key for question in QUESTIONS] == list(Answers.__dataclass_fields__)
    assert all(question.text.strip() for question in QUESTIONS)


@pytest.mark.parametrize("nominal_v", [24, 48])
def test_the_largest_inverter_breaks_no_rule(nominal_v, tmp_path):
    answers = Answers(nominal_v=nominal_v, inverter_w=5000.0, capacity_ah=200.0, batteries=2)
    van_file, _, findings = judge(answers, tmp_path)
    assert [str(f) for f in findings if f.severity == "fail"] == []
    assert van_file.system.equipment["inverter"].power_w == 5000


def test_an_inverter_that_no_cable_carries_is_refused():
    """At 12 V 5 kW is more than 400 A: the largest cable of a starter van carries 349 A."""
    with pytest.raises(ValueError, match="At 12 V, the largest inverter is 2500 W"):
        refuse_together(Answers(inverter_w=5000.0))
    refuse_together(Answers(inverter_w=5000.0, nominal_v=24))
    with pytest.raises(ValueError, match="needs leisure batteries of at least 66 Ah"):
        refuse_together(Answers(inverter_w=2500.0, capacity_ah=60.0))
    with pytest.raises(ValueError, match="no more than 560 Ah"):
        refuse_together(Answers(capacity_ah=300.0, batteries=2))


def test_each_battery_of_a_bank_has_its_fuse_and_equal_leads(tmp_path):
    van_file, sizing, _ = judge(Answers(batteries=3), tmp_path)
    assert list(van_file.system.leisure) == ["house", "house-2", "house-3"]
    leads = [sizing.conductors[f"battery-plus{end}"] for end in ("", "-2", "-3")]
    assert len({(lead.area_mm2, lead.conductor.length_m) for lead in leads}) == 1
    assert [fuse for fuse in sizing.fuses if fuse.startswith("main-fuse")] == [
        "main-fuse",
        "main-fuse-2",
        "main-fuse-3",
    ]


def test_each_question_has_an_option_of_its_own():
    options = [question.option for question in QUESTIONS]
    assert len(set(options)) == len(options)
    assert {"--nominal", "--solar", "--mains-charger", "--batteries"} <= set(options)
