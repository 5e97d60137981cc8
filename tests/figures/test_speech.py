"""Each language has its own decimal sign, dates, lists and plurals, as its grammar books say."""

from datetime import date

import pytest

from vandoc.ground.speech import Speech

# A decimal comma: DIN 1333 (de), Lexique of the Imprimerie nationale (fr), Taalunie (nl); from memory.
WRITTEN = {
    "en": ("\u221212.50", "12 May 2026", "May 2026", "May", "a, b and c"),
    "de": ("\u221212,50", "12. Mai 2026", "Mai 2026", "Mai", "a, b und c"),
    "fr": ("\u221212,50", "12 mai 2026", "mai 2026", "mai", "a, b et c"),
    "nl": ("\u221212,50", "12 mei 2026", "mei 2026", "mei", "a, b en c"),
    "es": ("\u221212,50", "12 de mayo de 2026", "mayo de 2026", "mayo", "a, b y c"),
}


@pytest.mark.parametrize("language", WRITTEN)
def test_a_language_has_its_own_way_of_writing(language):
    speech = Speech(language)
    day = date(2026, 5, 12)
    found = speech.number("-12.50"), speech.day(day), speech.year_month(day), speech.month(5)
    assert (*found, speech.listed("abc")) == WRITTEN[language]


def test_nothing_is_one_thing_in_french_and_several_in_english():
    assert Speech("fr").plural(0) == "one"
    assert Speech("en").plural(0) == "other"
    assert {Speech(language).plural(1) for language in WRITTEN} == {"one"}


def test_a_list_of_none_one_or_two_has_no_comma():
    assert [Speech("en").listed(items) for items in ("", "a", "ab")] == ["", "a", "a and b"]
