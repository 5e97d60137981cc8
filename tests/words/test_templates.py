"""Templates hold structure alone: every word stands in a catalogue, where a translator meets it."""

import re

import pytest

from tests.words import texts
from tests.words.templates import prose

PENDING: set[str] = {
    "van.yml.j2",  # a van file: its keys and comments are one text
}
TEMPLATES = [path for path in sorted(texts.ROOT.rglob("*.j2")) if path.name not in PENDING]
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


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_holds_no_words(path):
    assert words_of(path.read_text("utf-8")) == []


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
