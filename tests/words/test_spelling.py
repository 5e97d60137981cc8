"""British spelling: Hunspell's dictionary en_GB and a list of the trade's own words."""

import os

import pytest

from tests.words import texts
from tests.words.source import code_texts, data_texts, docstrings
from tests.words.spelling import TRADE, misspelt, program, words
from tests.words.texts import DOCUMENTS, Text

SOURCES = [
    texts.messages,
    texts.templates,
    texts.help_texts,
    texts.schema_texts,
    code_texts,
    docstrings,
    data_texts,
]


@pytest.fixture(scope="module")
def hunspell() -> str:
    """The spelling checker; where it is missing the tests are skipped, but never in CI."""
    found = program()
    if found is None:
        if os.environ.get("CI") == "true":
            pytest.fail("Hunspell or its British dictionary is not installed, and CI must check the spelling")
        pytest.skip("Hunspell or its British dictionary is not installed")
    return found


def wrong_in(found: tuple[Text, ...], hunspell: str) -> dict[str, list[str]]:
    said = {text: words(text.words) for text in found}
    wrong = misspelt(set().union(*said.values()), hunspell=hunspell)
    return {text.where: sorted(own & wrong) for text, own in said.items() if own & wrong}


@pytest.mark.parametrize("source", SOURCES, ids=lambda source: source.__name__)
def test_every_word_is_spelt_as_in_britain(source, hunspell):
    assert wrong_in(source(), hunspell) == {}


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_word_of_the_documents_is_spelt_as_in_britain(name, hunspell):
    assert wrong_in((texts.document(name),), hunspell) == {}


def test_other_spellings_are_found(hunspell):
    said = Text("here", "owner", "The color of the fuze is grey, in vandoc's manual: 2 meterss, see van.yml")
    assert wrong_in((said,), hunspell) == {"here": ["color", "fuze", "meterss"]}


def test_names_and_code_are_no_words():
    said = "cable_area van.yml X 5mm² https://example.org/qwv likeThis 'X'X mm don’t van's"
    assert words(said) == {"mm", "don't", "van"}


def test_the_list_of_the_trade_is_sorted_and_holds_nothing_that_the_dictionary_has(hunspell):
    trade = TRADE.read_text("utf-8").splitlines()
    assert trade == sorted(set(trade), key=lambda word: (word.casefold(), word))
    assert misspelt(trade, hunspell=hunspell, trade=False) == set(trade)
