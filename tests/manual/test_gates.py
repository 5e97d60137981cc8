"""The first screen of each symptom's page: what is no fault of the wiring, and where each answer leads."""

import pytest

from tests.manual.manuals import VANS, page, words
from tests.manual.test_fault_pages import book, sections, symptoms
from vandoc.analysis.diagnosis.gates import LOW, OFF
from vandoc.pages.manual.text import TROUBLE, tell
from vandoc.pages.manual.trouble.symptoms import path_of


@pytest.mark.parametrize("van", VANS)
@pytest.mark.parametrize("folder", ["fault", "electrician/fault"])
def test_each_answer_of_the_first_screen_leads_to_its_end(van, folder):
    """Every end says what to do and whom to call, and none asks more; a low battery is charged first."""
    for fault in symptoms(van):
        shown = sections(van, path_of(fault, folder))
        first = shown["step-1"]
        if fault.problem.gates is None:
            assert tell("ask.gates") not in words(first)
            continue
        assert tell("ask.gates") in words(first)
        answers = fault.problem.gates.answers
        (choices,) = [one for one in first.iter("ul") if one.get("class") == "choices"]
        for answer, row in zip(answers, choices, strict=False):
            if row.get("class") == "found":  # on the electrician's page
                assert ("discharged" in words(row)) == (answer == LOW)
                assert ("switched off" in words(row)) == answer.startswith(OFF)
                continue
            (link,) = row.iter("a")
            end = words(shown[link.get("href")[1:]])
            if answer == LOW:
                assert "Charge it first." in end
            elif answer.startswith(OFF):
                assert TROUBLE["end.left-off.title"] in end
            elif answer != "in-order":
                assert TROUBLE[f"nothing.{answer}.title"] in end
                assert book(van).contact.phone in end
                assert "go to" not in end


@pytest.mark.parametrize("van", VANS)
def test_a_long_charge_is_begun_after_a_look_by_someone_awake(van):
    """Common practice, no source: no charge for a battery that is hot, swollen, smelly, leaking or frozen."""
    charged = 0
    for fault in symptoms(van):
        for section in sections(van, path_of(fault)).values():
            said = words(section)
            if (
                "Charge this for a long time" in said
                or "Charge it first." in said
                or "The battery is flat." in said
            ):
                charged += 1
                assert "hot, swollen, smelly or leaking, do not charge it" in said
                assert "Stay awake" in said
    assert charged


@pytest.mark.parametrize(
    ("symptom", "told", "blamed"),
    [
        ("not-charging driving", "plug in the hook-up", "drive for several hours"),
        ("not-charging on hook-up", "drive for several hours", "plug in the hook-up for a day"),
        ("not-charging sun only", "plug in the hook-up", "park in the sun"),
    ],
)
def test_nobody_is_told_to_charge_from_the_source_that_fails(symptom, told, blamed):
    (fault,) = [one for one in symptoms("curlew") if one.problem.symptom == symptom]
    said = " ".join(
        words(page("curlew", path_of(fault, folder))).casefold() for folder in ("fault", "electrician/fault")
    )
    assert blamed not in said
    assert told in said or "charge this for a long time" not in said


def test_a_low_battery_is_told_by_the_monitor_else_by_the_voltmeter():
    """AGM at 15 %: 11.8 V + 15/25 × 0.2 V = 11.92 V (BCI table of VRLA batteries, from memory)."""
    said = {van: words(sections(van, "fault/stopped-pump.md")["step-1"]) for van in ("curlew", "wren")}
    assert "With a lamp on, this shows less than 11.9 V: battery voltmeter" in said["wren"]
    assert "This shows less than 15 %: battery monitor" in said["curlew"]
