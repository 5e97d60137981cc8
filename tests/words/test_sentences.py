"""Sentences are as short as their reader needs them."""

import pytest

from tests.words import texts
from tests.words.sentences import length, sentences, without_fields, without_html, without_markdown
from tests.words.source import code_texts
from tests.words.texts import DOCUMENTS, Text

# Our own values: a worried reader follows one short sentence at a time, an electrician reads at a desk.
MOST_WORDS = {"owner": 15, "installer": 25, "electrician": 30, "maintainer": 30}
SOURCES = [texts.messages, texts.templates, texts.help_texts, texts.schema_texts, code_texts]


def too_long(text: Text) -> list[str]:
    return [sentence for sentence in sentences(text.words) if length(sentence) > MOST_WORDS[text.reader]]


@pytest.mark.parametrize("source", SOURCES, ids=lambda source: source.__name__)
def test_sentences_are_as_short_as_their_reader_needs(source):
    wrong = "\n".join(f"{text.where}: {sentence}" for text in source() for sentence in too_long(text))
    assert not wrong, wrong


@pytest.mark.parametrize("name", DOCUMENTS)
def test_sentences_of_the_documents_are_short(name):
    assert too_long(texts.document(name)) == []


@pytest.mark.parametrize("reader", MOST_WORDS)
def test_a_sentence_that_is_one_word_too_long_is_found(reader):
    most = MOST_WORDS[reader]
    assert too_long(Text("here", reader, "Turn it off. " + "word " * most)) == []
    assert too_long(Text("here", reader, "Turn it off. " + "word " * (most + 1))) != []


def test_words_are_counted_as_people_read_them():
    assert length("The 2.5 mm² cable carries 28.8 A, its own limit") == 10
    assert length(without_fields("'{item}' does {value}; maximum {limit}.")) == 5
    assert sentences("One. Two? Three: four\nFive") == ["One.", "Two?", "Three:", "four", "Five"]
    assert sentences("At 14.4 V it is full.") == ["At 14.4 V it is full."]


def test_markup_is_no_word():
    assert (
        without_markdown("## Title { #anchor }\n\nSee [the page](a.md) and `code`.\n")
        == "Title\nSee the page and X."
    )
    assert without_markdown("```sh\nrun this\n```\n\nDone\nnow.") == "Done now."
    assert without_markdown("1. One\n2. Two") == "One\nTwo"
    assert without_html("<p>One</p><b>two</b> three").split("\n") == ["", "One", "two three"]
