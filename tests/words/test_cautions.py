"""No caution without its four parts: signal word, hazard, consequence, avoidance.

ANSI Z535.6 (from memory) has these parts and says what each signal word promises.
"""

import re
from typing import Any

import pytest

from tests.words import texts
from tests.words.rules import read_yaml
from tests.words.sentences import length, sentences
from tests.words.source import code_texts, data_texts
from tests.words.templates import constants
from vandoc.pages.manual.page import CAUTIONS

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
PARTS = ("hazard", "consequence", "avoid")
MOST_WORDS = 15
CONSEQUENCE = {
    "DANGER": r"\b(?:kills?|will)\b",
    "WARNING": r"\b(?:could|may|can)\b",
    "CAUTION": r"\bcould\b",
    "NOTICE": r"",
}
INJURY = re.compile(r"\b(?:kill|injur|burn you|burnt|shock|blind)\w*", re.IGNORECASE)


def place_of(value: object) -> str:
    """What names a test: the place of its caution."""
    return value if isinstance(value, str) else "caution"


def faults(entry: dict[str, Any]) -> list[str]:
    """What is wrong with a caution."""
    found = []
    if entry.get("signal") not in SIGNALS:
        found.append("signal")
    for part in PARTS:
        words = entry.get(part) or ""
        if not words.endswith("."):
            found.append(part)
        found += [sentence for sentence in sentences(words) if length(sentence) > MOST_WORDS]
    consequence, avoid = entry.get("consequence") or "", entry.get("avoid") or ""
    if not re.search(CONSEQUENCE.get(entry.get("signal", ""), ""), consequence):
        found.append("the consequence does not fit the signal word")
    if entry.get("signal") == "NOTICE" and INJURY.search(consequence):
        found.append("a notice is about damage only")
    if re.search(r"\bplease\b|\bbecause\b|\bin order to\b|\bso that\b", avoid, re.IGNORECASE):
        found.append("the avoidance gives orders, no reasons")
    return found


@pytest.mark.parametrize("name", list(CAUTIONS.tree))
def test_a_caution_of_the_manual_has_its_four_parts(name):
    assert faults(CAUTIONS[name]) == []


def cautions_elsewhere() -> list[tuple[str, dict[str, Any]]]:
    """Mappings in other message files that hold a signal word."""
    found = []

    def walk(place: str, node: Any) -> None:
        if isinstance(node, dict):
            said = [value for value in node.values() if isinstance(value, str)]
            if set(said) & set(SIGNALS) and set(said) != set(SIGNALS):  # all: the words themselves
                found.append((place, node))
            for key, value in node.items():
                walk(f"{place}.{key}", value)

    for path in sorted(texts.ROOT.rglob("messages/*/*.yml")):
        if path.stem != "cautions":
            walk(path.stem, read_yaml(path))
    return found


@pytest.mark.parametrize(("place", "entry"), cautions_elsewhere(), ids=place_of)
def test_a_caution_in_another_file_has_its_four_parts(place, entry):  # noqa: ARG001
    assert faults(entry) == []


def test_a_caution_on_the_survey_sheet_is_seen():
    assert [place for place, _ in cautions_elsewhere()] == ["survey.caution"]


def signals() -> list[tuple[str, list[str | None]]]:
    """The arguments of each caution that a template writes itself."""
    return [
        (f"{path.relative_to(texts.ROOT)}", arguments)
        for path in sorted(texts.ROOT.rglob("*.j2"))
        for arguments in constants(path.read_text("utf-8"), "signal")
    ]


@pytest.mark.parametrize(("place", "arguments"), signals(), ids=place_of)
def test_a_caution_in_a_template_has_its_four_parts(place, arguments):  # noqa: ARG001
    assert faults(dict(zip(("signal", *PARTS), arguments, strict=True))) == []


def test_no_signal_word_is_without_its_caution():
    alone = re.compile(rf"\b(?:{'|'.join(SIGNALS)})\b")
    sources = (texts.messages, texts.help_texts, texts.schema_texts, code_texts, data_texts)
    assert {text.where for source in sources for text in source() if alone.search(text.words)} == {
        "manual/pages/owner/cautions/signal_words",  # says what they mean
        *(f"manual/words/signal_word.{word}" for word in SIGNALS),  # the words themselves
    }


GOOD = {
    "signal": "WARNING",
    "hazard": "A spanner across the terminals can glow red-hot.",
    "consequence": "You could be badly burnt.",
    "avoid": "Never work on live wiring.",
}


@pytest.mark.parametrize(
    "change",
    [
        {"signal": "ATTENTION"},
        {"hazard": ""},
        {"consequence": None},
        {"avoid": "Never work on live wiring"},
        {"avoid": "Please never work on live wiring."},
        {"avoid": "Never work on live wiring because it burns."},
        {"hazard": "word " * 16 + "."},
        {"signal": "DANGER"},
        {"signal": "NOTICE", "consequence": "It could kill."},
    ],
)
def test_a_faulty_caution_is_found(change):
    assert faults(GOOD) == []
    assert faults(GOOD | change) != []
