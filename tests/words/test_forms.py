"""Forms of text: titles of findings, openings, the first line of a command's help."""

import re

import click
import pytest

from tests.words.rules import violations
from vandoc.doors.cli import COMMANDS
from vandoc.judgement.checks.rule import rules

LONGEST_TITLE = 60
LONGEST_FIRST_LINE = 60


def title_faults(title: str) -> list[str]:
    """What is wrong with the title of a finding."""
    found = violations(title, "installer")
    if len(title) > LONGEST_TITLE:
        found.append("too long")
    if title.endswith((".", "!", "?")):
        found.append("a title is no sentence")
    if "{" in title or re.search(r"\d (?:A|V|W|m|mm²|°C|%)", title):
        found.append("a title holds no value")
    if not title[:1].isupper():
        found.append("sentence case")
    return found


@pytest.mark.parametrize("rule", rules().values(), ids=lambda rule: rule.slug)
def test_a_finding_has_a_short_title_without_a_value(rule):
    assert title_faults(rule.title) == []


@pytest.mark.parametrize(
    "title",
    [
        "Drop too high.",
        "drop too high",
        "Above 40 A",
        "Drop above {limit}",
        "Cable " * 11,
        "It isn't fitted",
    ],
)
def test_a_faulty_title_is_found(title):
    assert title_faults("Voltage drop too high") == []
    assert title_faults(title) != []


UNKNOWN = [rule for rule in rules().values() if rule.unknown]


@pytest.mark.parametrize("rule", UNKNOWN, ids=lambda rule: rule.slug)
def test_an_unknown_names_the_check_and_the_missing_figure(rule):
    assert re.match(r"Cannot check \S.*: \S", rule.unknown, re.DOTALL)


def help_faults(words: str) -> list[str]:
    """What is wrong with the first line of a command's help."""
    first = words.split("\n\n")[0]
    found = [] if first.endswith(".") else ["no full stop"]
    if len(first) > LONGEST_FIRST_LINE:
        found.append("too long")
    if re.match(r"[a-z]|(?:The|A|An|This)\b|\w+s\b", first):
        found.append("an imperative comes first")
    return found


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.name)
def test_help_begins_with_one_short_order(command: click.Command):
    assert help_faults(command.help or "") == []


@pytest.mark.parametrize(
    "words", ["", "Check a van", "Checks a van.", "The check of a van.", "Check " + "a van " * 10 + "."]
)
def test_faulty_help_is_found(words):
    assert help_faults("Check a van file.") == []
    assert help_faults(words) != []
