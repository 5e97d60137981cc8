"""Texts avoid the words of a list, and call each concept by one term."""

from collections import Counter
from collections.abc import Callable

import pytest

from tests.words import texts
from tests.words.rules import Rule, rules, violations
from tests.words.sentences import without_markdown
from tests.words.source import code_texts, data_texts, strings
from tests.words.templates import prose
from tests.words.texts import DOCUMENTS, READERS, Text

SOURCES = [
    texts.messages,
    texts.templates,
    texts.help_texts,
    texts.schema_texts,
    code_texts,
    data_texts,
]
FEWEST = {
    "messages": 1000,
    "templates": 150,
    "help_texts": 25,
    "schema_texts": 300,
    "code_texts": 100,
    "data_texts": 100,
}
BOTH = [*rules("forbidden"), *rules("terms")]


def wrong_in(found: tuple[Text, ...]) -> str:
    """What is wrong, a line each."""
    return "\n".join(
        f"{text.where}: {wrong}" for text in found for wrong in violations(text.words, text.reader)
    )


@pytest.mark.parametrize("rule", BOTH, ids=lambda rule: rule.say[:40])
def test_each_rule_finds_its_bad_example_and_passes_its_good_one(rule: Rule):
    assert rule.found(rule.wrong)
    assert not rule.found(rule.right)


@pytest.mark.parametrize("reader", ["owner", "installer", "electrician", "maintainer"])
def test_good_examples_break_no_other_rule_of_the_list(reader):
    assert {
        rule.right: wrong for rule in rules("forbidden") if (wrong := violations(rule.right, reader))
    } == {}


@pytest.mark.parametrize("source", SOURCES, ids=lambda source: source.__name__)
def test_texts_avoid_the_words_of_the_list(source: Callable[[], tuple[Text, ...]]):
    wrong = wrong_in(source())
    assert not wrong, wrong


@pytest.mark.parametrize("name", DOCUMENTS)
def test_documents_avoid_the_words_of_the_list(name):
    wrong = wrong_in((texts.document(name),))
    assert not wrong, wrong


@pytest.mark.parametrize("source", SOURCES, ids=lambda source: source.__name__)
def test_the_texts_are_found(source: Callable[[], tuple[Text, ...]]):
    assert len(source()) >= FEWEST[source.__name__]


def test_the_text_of_each_document_is_found():
    for name in DOCUMENTS:
        assert len(texts.document(name).words.split()) > 500


def test_every_place_that_is_given_a_reader_exists():
    said = {"messages": texts.messages(), "templates": texts.templates()}
    for kind, found in said.items():
        places = [place for places in READERS[kind].values() for place in places]
        assert len(set(places)) == len(places)
        assert [place for place in places if not any(text.where.startswith(place) for text in found)] == []


def test_a_reader_is_the_one_of_the_longest_place():
    assert texts.reader_of("manual/trouble/ask.volts", "messages") == "electrician"
    assert texts.reader_of("manual/trouble/ask.works", "messages") == "owner"
    assert texts.reader_of("manual/synonyms/", "messages") is None
    with pytest.raises(LookupError, match="does not say who reads it"):
        texts.reader_of("elsewhere/file/key", "messages")


def test_by_itself_is_said_once_a_page():
    said = Counter(text.where for text in texts.templates() for _ in range(text.words.count("by itself")))
    assert {where: count for where, count in said.items() if count > 1} == {}


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ("# Title\n\n- {{ step('Turn it off.') }} tail `code` **bold**", "Title\nX tail X bold"),
        ('{{ step("Turn it off.") }}', "Turn it off."),
        ('{{ step(joined("Call ", number, ".")) }}', "Call X."),
        ('{{ link("the page", "a/b.md") }} and {{ note("ISO 1") }}', "the page and"),
        ("{% if x %}One{% else %}Two{% endif %}", "One|Two"),
        ('{{ "short" if x else "a longer one" }}', "a longer one|short"),
        ("{% macro a(b) %}Words{% endmacro %}", "Words"),
        ("| Head | Other |\n| --- | --- |\n", "Head\nOther"),
    ],
)
def test_the_prose_of_a_template_is_what_it_says_itself(source, said):
    if "Title" not in source:
        assert "|".join(without_markdown(text) for text in prose(source)) == said


def test_strings_in_code_are_those_that_read_as_prose():
    source = '''
"""The module speaks of itself."""
ERROR = f"{path}: the value {value} does not fit here"
CODE = ("a.b.c", "<p>this is a tag</p>", "select {x}", "two words")
'''
    assert [text for _, text in strings(source)] == ["X: the value X does not fit here"]
