"""The pages as they are built: phrases and the van's own names put together, as a reader meets them."""

import re
from functools import cache

import pytest
import textstat

from tests.manual.manuals import VANS, judged, manual
from tests.words.rules import violations
from tests.words.sentences import VALUE, length, sentences, without_markdown

HIGHEST_GRADE = 8.0  # US school grade, Flesch-Kincaid
MEAN_WORDS = 12.0
FEWEST_SENTENCES = 5  # a page of fewer is a list of links, and a mean of them says nothing
MANY_NAMES = 5


@cache
def pages(van: str) -> dict[str, str]:
    """The prose of each page of a manual, by its path."""
    files = manual(van).files
    return {path: prose_of(str(text)) for path, text in files.items() if path.endswith(".md")}


def prose_of(page: str) -> str:
    """A page without drawings, telephone numbers and the ways to other steps."""
    page = re.sub(
        r"<svg\b.*?</svg>|\bgo to \d+|\+\d[\d ]+|^<p class=\"ways.*$",
        " ",
        page,
        flags=re.DOTALL | re.MULTILINE,
    )
    return without_markdown(re.sub(r"&#(\d+);", lambda code: chr(int(code[1])), page))


def reader_of(path: str) -> str:
    return "electrician" if path.startswith("electrician/") else "owner"


def owners(van: str) -> dict[str, str]:
    return {path: text for path, text in pages(van).items() if reader_of(path) == "owner"}


def whole(text: str) -> list[str]:
    """The sentences of a page that are sentences: no names of links, no cells, no lists of many names."""
    found = (sentence for line in text.split("\n") for sentence in re.split(r"(?<=[.?!])\s+", line))
    full = (one for one in found if one.endswith((".", "?", "!")) and one.count(",") < MANY_NAMES)
    return [sentence for sentence in full if length(sentence) > 1]


def mean(text: str) -> float:
    found = whole(text)
    return sum(map(length, found)) / max(1, len(found))


def grade(text: str) -> float:
    return float(textstat.flesch_kincaid_grade(" ".join(whole(text))))


@pytest.mark.parametrize("van", VANS)
def test_an_eighth_grader_reads_the_owners_pages(van):
    hard = {path: grade(text) for path, text in owners(van).items() if len(whole(text)) >= FEWEST_SENTENCES}
    assert len(hard) > 20
    assert {path: value for path, value in hard.items() if value > HIGHEST_GRADE} == {}


@pytest.mark.parametrize("van", VANS)
def test_sentences_of_the_owners_pages_are_short_in_the_mean(van):
    long = {path: mean(text) for path, text in owners(van).items()}
    assert {path: value for path, value in long.items() if value > MEAN_WORDS} == {}


def own_names(van: str) -> set[str]:
    """The van file's keys that read as words to avoid, and its isolators, named for owners."""
    system = judged(van).system
    keys = {*system.places, *system.equipment, *system.loads}
    keys |= {part.id for part in (*system.circuits, *system.cables) if part.id}
    isolators = {item.name for item in system.equipment.values() if item.kind == "isolator"}
    return {key for key in keys if violations(key, "electrician")} | isolators


@cache
def said(reader: str) -> dict[str, str]:
    """Each sentence that a reader meets on the pages of all vans, with the last page that has it.

    Pages on changes repeat what archived files said, and electricians' pages what owners read of lights.
    """
    found = {}
    for van in VANS:
        names = "|".join(sorted(map(re.escape, own_names(van)), key=len, reverse=True)) or "(?!)"
        for path, text in pages(van).items():
            if reader_of(path) == reader and not path.endswith("changes.md"):
                known = text if reader == "owner" else re.sub(names, VALUE, text, flags=re.IGNORECASE)
                found |= dict.fromkeys(sentences(known), f"{van}/{path}")
    return {one: path for one, path in found.items() if reader == "owner" or one not in said("owner")}


@pytest.mark.parametrize("reader", ["owner", "electrician"])
def test_pages_avoid_the_words_of_the_list(reader):
    found = said(reader)
    assert len(found) > 500
    if violations("\n".join(found), reader):  # one search of all is quicker than one for each sentence
        wrong = [f"{path}: {one}" for words, path in found.items() for one in violations(words, reader)]
        pytest.fail("\n".join(wrong))


def test_a_hard_page_is_found():
    hard = "Notwithstanding considerable electrochemical irregularities, practitioners should investigate. "
    assert grade(hard * 3) > HIGHEST_GRADE
    assert mean("word " * 30 + ".") > MEAN_WORDS
    assert grade("Turn it off. Look at the fuse. Is it black? Call us.") <= HIGHEST_GRADE


def test_a_page_is_read_without_its_drawings_and_numbers():
    page = "# Call\n\n<p>Call: +44 1632 960 000</p><svg><text>drawn</text></svg>\n\nTurn it off&#46; Wait.\n"
    assert prose_of(page).split("\n") == ["Call", "Call:", "Turn it off. Wait."]
