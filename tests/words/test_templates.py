"""Templates hold structure alone: every word stands in a catalogue, where a translator meets it."""

import re

import pytest

from tests.words import texts
from tests.words.templates import prose
from tests.words.test_code import codes

TEMPLATES = sorted(texts.ROOT.rglob("*.j2"))
TWO_WORDS = re.compile(r"\b[A-Za-z][a-z’']+,? [a-z]{2,}")
WORDY = r"(?:alt|title|aria-label|placeholder|data-[a-z]+)=\"([^\"{]*)\""


def words_of(source: str) -> list[str]:
    """What a template says itself that looks like words: in its body, its strings or its attributes."""
    said = [
        re.sub(r"(?s)<(style|script)\b.*?</\1>|@page[^\n]*|^[^\n]*\{[^\n]*;[^\n]*\}$", " ", text, flags=re.M)
        for text in prose(source)
    ]
    found = [*(re.sub(r"<[^<>]*>", "\n", text) for text in said), *re.findall(WORDY, source)]
    return [match[0] for text in found for match in TWO_WORDS.finditer(text)]


def words_of_yaml(source: str) -> list[str]:
    """The same of a template of a van file, whose keys and codes are no words."""
    said = (re.sub(r"[\w-]+:(?=\s)|[,\[\]{}]", "\n", text) for text in prose(source))
    found = [match[0] for text in said for match in TWO_WORDS.finditer(text)]
    return [words for words in found if words not in codes()]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_holds_no_words(path):
    look = words_of_yaml if ".yml" in path.name else words_of
    assert look(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "source",
    [
        "{{ title }}\n\nLeave everything off.",
        '{{ step("Leave everything off.") }}',
        '{{ link("the cutting list", "cutting.md") }}',
        "{% if hot %}<p>Leave it</p>{% endif %}",
        '<img alt="a map of it">',
    ],
)
def test_words_in_a_template_are_seen(source):
    assert words_of(source)


@pytest.mark.parametrize(
    "source", ["a: {name: main fuse, place: box}", "# Put every switch here.", "a: 1  # of it"]
)
def test_words_in_a_template_of_a_van_file_are_seen(source):
    assert words_of_yaml(source)
