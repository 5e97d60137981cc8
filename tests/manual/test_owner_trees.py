"""The owner's way through a fault: what is noticed, few steps, three names, and an end that helps."""

from typing import Any

import pytest

from tests.manual.manuals import VANS, page, words
from tests.manual.test_fault_pages import answers, book, sections, symptoms
from vandoc.analysis.diagnosis.repairs import causes_named
from vandoc.analysis.diagnosis.short import NAMED, in_view
from vandoc.pages.manual.text import TROUBLE, tell
from vandoc.pages.manual.trouble.gate_text import gate_answer
from vandoc.pages.manual.trouble.symptoms import path_of

MOST_STEPS = 6  # the end counted as one, as are all first questions on their screen


def longest(shown: dict[str, Any], at: str = "step-1") -> int:
    """The number of steps on the longest way through a page, from a step to its end."""
    after = [link.get("href")[1:] for link in answers(shown[at]) if link.get("href").startswith("#step-")]
    return 1 + max((longest(shown, one) for one in after), default=0)


@pytest.mark.parametrize("van", VANS)
def test_an_owners_way_is_short(van):
    for fault in symptoms(van):
        assert longest(sections(van, path_of(fault))) <= MOST_STEPS, fault.problem.symptom


@pytest.mark.parametrize("van", VANS)
def test_every_end_says_what_to_do_what_to_leave_off_and_whom_to_call(van):
    """And names three parts at most; what was learnt is told where the rest needs a meter."""
    leaves = {one["leave"] for group in ("end", "nothing") for one in TROUBLE[group].values()}
    spoken = {one.partition("{")[0] for one in leaves} | {
        tell(f"leave.{fault.kind}", name="").partition(":")[0] for fault in symptoms(van)
    }
    for fault in symptoms(van):
        for ident, section in sections(van, path_of(fault)).items():
            if section.get("data-end"):
                (lines, *_) = [one for one in section.iter("ul") if one.get("class") == "do"]
                *do, leave = [words(line) for line in lines]
                assert do, (fault.problem.symptom, ident)
                assert any(one and one in leave for one in spoken), (fault.problem.symptom, ident)
                assert book(van).contact.phone in words(section)
                assert len([one for one in section.iter("li") if one.get("data-part")]) <= NAMED


def test_the_end_of_a_pump_whose_fuse_is_good_by_hand():
    shown = sections("curlew", "fault/stopped-pump.md")
    (end,) = [one for one in shown.values() if "Fuse 1 of the kitchen fuse box: good." in words(one)]
    told = [words(line) for one in end.iter("ul") if one.get("class") == "told" for line in one]
    assert told == [
        f"Water pump: not working, step {end.get('id')[5:]}.",
        "Ceiling lights: working.",
        "Fuse 1 of the kitchen fuse box: good.",
        "Number on the battery monitor: read it out.",
    ]
    assert "Leave this switched off: water pump." in words(end)
    assert "Do not remove covers" in words(end)


@pytest.mark.parametrize("van", VANS)
def test_everything_that_people_notice_is_one_tap_from_the_start_page(van):
    start = {link.get("href") for link in page(van, "index.md").iter("a")}
    assert "trouble.html" in start
    rows = [link for one in page(van, "trouble.md").iter("ul") for link in one.iter("a")]
    first = [words(link) for link in rows[:3]]
    assert first[0].startswith("Smoke")
    assert first[1].startswith("An alarm")
    assert "smell" in first[2]
    assert all(link.get("href").startswith("emergency.html#") for link in rows[:3])
    said = " ".join(words(link) for link in rows)
    noticed = ("Nothing works", "One thing has stopped", "dim, slow or weak", "flat too fast", "never full")
    for words_of in (*noticed, "does not charge", "A light is on", "comes and goes", "will not switch off"):
        assert words_of in said, words_of
    assert ("nothing on it works" in said) == (van != "wren")  # that van has one fuse box


@pytest.mark.parametrize("van", VANS)
def test_what_is_listed_on_the_first_screen_is_there(van):
    ids = {one.get("id") for one in page(van, "trouble.md").iter() if one.get("id")}
    emergency = {one.get("id") for one in page(van, "emergency.md").iter() if one.get("id")}
    for link in page(van, "trouble.md").iter("a"):
        href = link.get("href")
        assert not href.startswith("#") or href[1:] in ids
        assert not href.startswith("emergency.html#") or href.partition("#")[2] in emergency


def test_causes_that_the_gates_ask_about_are_not_named_again():
    """By hand: with the ceiling lights working, the pump's own circuit is named, not the main switch."""
    (fault,) = [one for one in symptoms("curlew") if one.problem.symptom == "stopped pump"]
    parts = [cause.part for cause in in_view(fault.problem, fault.problem.causes)]
    assert {"water supply", "water return", "pump", "galley-board.1"} <= set(parts)
    assert not {"isolator", "house", "main-fuse", "main-board.2"} & set(parts)
    assert causes_named(fault.owner.start) == ()


def test_the_first_answers_of_a_half_dead_van_by_hand():
    (fault,) = [one for one in symptoms("curlew") if one.problem.symptom == "half-dead galley-board"]
    gates = fault.problem.gates
    assert [gate_answer(book("curlew"), gates, answer) for answer in gates.answers] == [
        "Everything on it works again",
        "More than this has stopped",
        "This switch is off: main battery switch",
        "This shows less than 15\u00a0%: battery monitor",
        "None of these, or you cannot tell",
    ]
