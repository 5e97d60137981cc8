"""The trees as pages: every answer leads on, every end names what is left, every word is plain."""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.diagnosis.test_trees import paths, problem
from tests.manual.manuals import VANS, judged, manual, page, words
from vandoc.analysis import Van
from vandoc.analysis.diagnosis.gates import GATES, IN_ORDER, LOW, OFF
from vandoc.analysis.diagnosis.problem import EndNode, QuestionNode
from vandoc.analysis.diagnosis.repairs import REPAIR, causes_named
from vandoc.analysis.diagnosis.trees import tree
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.page import CAUTIONS, built
from vandoc.pages.manual.text import TROUBLE, tell, upper_first
from vandoc.pages.manual.trouble.naming import cause_words, part_name, terminal_name
from vandoc.pages.manual.trouble.numbered import NumberedStep, numbered
from vandoc.pages.manual.trouble.question_text import OBSERVED, question_view
from vandoc.pages.manual.trouble.symptoms import Fault, faults, name_of, path_of


@cache
def book(van: str) -> Book:
    found = judged(van)
    return Book(found)


@cache
def symptoms(van: str) -> tuple[Fault, ...]:
    return faults(book(van))


def sections(van: str, path: str) -> dict[str, Any]:
    return {one.get("id"): one for one in page(van, path).iter("section")}


def onward(section: Any) -> dict[str, str]:
    """Where the answers of a step lead, by their words."""
    (choices,) = [one for one in section.iter("ul") if one.get("class") == "choices"]
    found = {}
    for link in choices.iter("a"):
        assert words(link).endswith(f"go to {link.get('href').removeprefix('#step-')}")
        found[words(link)] = link.get("href").removeprefix("#")
    return found


@pytest.mark.parametrize("van", VANS)
def test_the_owners_page_is_the_tree(van: str):
    """Followed by its links alone, the page reaches for each path of answers the parts of that leaf."""
    for fault in symptoms(van):
        shown = sections(van, path_of(fault))
        reached = set()
        for gone, leaf in paths(fault.owner.start):
            at = "step-1"
            for question, answer in gone:
                reached.add(at)
                if question.kind == REPAIR:
                    said = words(shown[at])
                    assert tell(f"then.{fault.kind}") in said
                    for cause in fault.problem.causes:
                        if cause.id in question.cures:
                            assert upper_first(part_name(book(van), cause.part)) in said, (at, cause.id)
                links = list(onward(shown[at]).values())
                at = links[question.answers.index(answer)]
            reached.add(at)
            said = words(shown[at])
            assert book(van).contact.phone in said
            if leaf.kind:
                assert TROUBLE[f"nothing.{leaf.kind}.title"] in said
            elif not leaf.causes:
                assert TROUBLE["end.hand-over.title"] in said
            elif not gone or gone[-1][1] != "repaired":
                assert (
                    tell(
                        "learnt.here", title=words(next(page(van, path_of(fault)).iter("h1"))), number=at[5:]
                    )
                    in said
                )
                named = [one for one in shown[at].iter("li") if one.get("data-part")]
                assert 1 <= len(named) <= 3
            assert not any(one.get("class") == "choices" for one in shown[at].iter("ul"))
        assert reached == set(shown)


def answers(section: Any) -> Iterator[Any]:
    """The links of the answers of a step."""
    for choices in section.iter("ul"):
        if choices.get("class") == "choices":
            yield from choices.iter("a")


@pytest.mark.parametrize("van", VANS)
def test_each_step_links_back_and_the_first_begins(van: str):
    for fault in symptoms(van):
        for path in (path_of(fault), path_of(fault, "electrician/fault")):
            shown = sections(van, path)
            assert list(shown) == [f"step-{number}" for number in range(1, len(shown) + 1)]
            for ident, section in shown.items():
                links = {words(link): link.get("href") for link in section.iter("a")}
                assert all(href[1:] in shown for href in links.values() if href.startswith("#"))
                before = [
                    one
                    for one, other in shown.items()
                    if any(link.get("href") == f"#{ident}" for link in answers(other))
                ]
                if ident != "step-1":
                    assert links["Start again"] == "#step-1"
                    assert before
                    assert links.get("Back") == (f"#{before[0]}" if len(before) == 1 else None)


def below(steps: dict[int, NumberedStep], number: int) -> set[str]:
    """The causes of all ends that a step leads to."""
    step = steps[number].step
    if isinstance(step, EndNode) or causes_named(step):
        return {cause.id for cause in causes_named(step)}
    return set().union(*(below(steps, after) for _, after in steps[number].onward))


@pytest.mark.parametrize("van", VANS)
def test_the_electrician_goes_on_where_the_owner_stopped(van: str):
    """Both trees are walked with the owner's answers: the link leads to the step that comes next."""
    for fault in symptoms(van):
        shown = sections(van, path_of(fault, "electrician/fault"))
        owners = sections(van, path_of(fault))
        steps = {one.number: one for one in numbered(fault.electrician.start, ends=False)}
        assert {f"step-{number}" for number in steps if number > 0} == set(shown)
        for gone, leaf in paths(fault.owner.start):
            at, number, before = 1, 1, 1
            for (
                question,
                answer,
            ) in gone:  # what was charged or switched on in vain is as if all had been in order
                settles = question.kind == GATES and (answer == LOW or answer.startswith(OFF))
                if question.kind != REPAIR:
                    step = steps[number].step
                    assert isinstance(step, QuestionNode)
                    assert step.question.id == question.id
                    before, number = number, dict(steps[number].onward)[IN_ORDER if settles else answer]
                at = dict(numbers(fault)[at])[answer]
            if leaf.causes and (not gone or gone[-1][1] != "repaired"):
                (link,) = [
                    one.get("href")
                    for one in owners[f"step-{at}"].iter("a")
                    if "electrician/" in one.get("href")
                ]
                assert link.endswith(f"#step-{number if number > 0 else before}")
                assert {cause.id for cause in leaf.causes} <= below(steps, number)
        told = " ".join(words(section) for section in shown.values())
        for cause in fault.problem.causes:
            assert upper_first(" ".join(cause_words(book(van), cause).split())) in told


def numbers(fault: Fault) -> dict[int, tuple[tuple[str, int], ...]]:
    """Where the answers of each step of an owner's page lead."""
    return {one.number: one.onward for one in numbered(fault.owner.start)}


@pytest.mark.parametrize("van", VANS)
def test_a_cause_is_named_with_its_place_and_its_repair(van: str):
    labels = {place.label for place in judged(van).system.places.values()}
    for fault in symptoms(van):
        expected = {
            tell(f"repair.{cause.kind}"): upper_first(cause_words(book(van), cause))
            for _, leaf in paths(fault.electrician.start)
            for cause in leaf.causes
        }
        shown = list(page(van, path_of(fault, "electrician/fault")).iter("li"))
        found = [words(one) for one in shown if one.get("class") == "found"]
        for repair, cause in expected.items():
            assert any(f"{cause}." in text and repair in text for text in found), (fault.subject, cause)
        placed = [link for one in shown for link in one.iter("a") if "places.html#" in link.get("href")]
        assert {words(link).casefold() for link in placed} <= {label.casefold() for label in labels}
        assert placed


def test_owners_are_warned_not_to_sleep_while_an_alarm_is_off():
    told = {
        fault.subject: sentences(section)
        for fault in symptoms("curlew")
        if fault.kind == "stopped"
        for section in sections("curlew", path_of(fault)).values()
        if TROUBLE["end.hand-over.title"] in words(section)
    }
    assert "do not sleep in the van until it works" in told["alarm"]
    assert "sleep" not in told["pump"]


@pytest.mark.parametrize(
    ("kept", "expected"),
    [
        (
            ("driving", "solar", "hook-up"),
            "Do one of these: plug in the hook-up for a day, drive for several hours, park in the sun",
        ),
        (("solar",), "Park in the sun for a day."),
        ((), "Have it charged."),
    ],
)
def test_a_battery_is_charged_by_what_the_van_has(kept, expected):
    whole = book("curlew")
    pieces = {
        ident: piece
        for ident, piece in whole.system.equipment.items()
        if not isinstance(piece, eq.Charger) or ident in kept
    }
    van_file = replace(whole.van_file, system=whole.system.model_copy(update={"equipment": pieces}))
    question = next(
        question
        for fault in symptoms("curlew")
        for question in fault.problem.questions
        if question.kind == "charge"
    )
    assert question_view(Book(Van.of(van_file)), question, 1).before[3].startswith(expected)


@pytest.mark.parametrize("van", VANS)
def test_no_two_causes_are_called_alike(van: str):
    """Neither the plus and minus cable of the same two pieces nor the joints along a chain of loads."""
    called: dict[str, set[str]] = {}
    for fault in symptoms(van):
        for cause in fault.problem.causes:
            called.setdefault(cause_words(book(van), cause), set()).add(cause.id)
    assert {said: causes for said, causes in called.items() if len(causes) > 1} == {}


@pytest.mark.parametrize(
    ("van", "during", "expected"),
    [
        ("heron", "driving", ["Run the engine, outdoors only."]),
        ("heron", "on hook-up", ["Plug in the hook-up."]),
        (
            "heron",
            "sun only",
            ["Do this in full sunshine.", "nothing else is charging: engine off, hook-up unplugged."],
        ),
        ("heron", "in use", ["nothing is charging: engine off, hook-up unplugged, no sun."]),
        ("wren", "sun only", ["Do this in full sunshine.", "nothing else is charging: engine off."]),
        ("wren", "in use", ["nothing is charging: engine off, no sun."]),
    ],
)
def test_an_observation_during_charging_names_the_source(van, during, expected):
    """The light of a solar controller is dark at night, that of a driving charger while the engine is off."""
    (fault,) = [one for one in symptoms(van) if one.kind == "never-full"]
    asked_then = [
        " ".join(question_view(book(van), question, 1, during=True).before)
        for question in fault.problem.questions
        if question.kind in OBSERVED and question.during == during
    ]
    assert asked_then
    assert [text for text in asked_then if any(line not in text for line in expected)] == []


def test_measuring_at_a_running_engine_has_its_warning_of_belts_and_fan():
    found = {
        (question.during == "driving" and "bonnet" in said.place, "belts" in " ".join(said.before))
        for fault in symptoms("wren")
        for question in fault.problem.questions
        if question.kind in ("volts", "drop", "joint-drop")
        for said in [question_view(book("wren"), question, 1)]
    }
    assert found == {(True, True), (False, False)}


def test_neither_side_of_a_relay_is_called_its_output():
    assert terminal_name(book("wren"), "relay.a") == "terminal a of the split-charge relay"
    assert terminal_name(book("curlew"), "main-board.1") == "output 1 of the main fuse box"


@pytest.mark.parametrize("van", VANS)
def test_a_battery_is_not_to_be_left_off(van: str):
    for fault in symptoms(van):
        left = tell(f"leave.{fault.kind}", name=name_of(book(van), fault))
        for section in sections(van, path_of(fault)).values():
            if TROUBLE["end.more.title"] in words(section):
                assert left in words(section)


@pytest.mark.parametrize("van", VANS)
def test_an_owner_is_asked_only_what_bare_hands_do(van: str):
    for fault in symptoms(van):
        shown = sections(van, path_of(fault))
        for one in numbered(fault.owner.start):
            if isinstance(one.step, QuestionNode):
                assert one.step.question.reader == "owner"
                assert one.step.question.kind in (REPAIR, *TROUBLE["ask"])
                if one.step.question.kind == "fuse-swap":  # the caution stands before the step that it guards
                    said = words(shown[f"step-{one.number}"])
                    assert said.index("Never bridge a fuse") < said.index("Push the new fuse")
        assert not re.search(
            r"\b(meter reads|measure|multimeter|probe|volts? at)\b", words(page(van, path_of(fault)))
        )


def read(block: Any) -> str:
    """The words of a block without those inside a drawing."""
    if block.tag.endswith("svg"):
        return ""
    inside = (read(child) + (child.tail or "") for child in block)
    return (block.text or "") + "".join(inside)


def sentences(section: Any) -> str:
    """What is read of a step, each block at least one sentence; ways back and telephone numbers left out."""
    said = []
    for block in section.iter():
        if block.tag in ("h1", "h2", "p", "li", "figcaption", "summary") and "ways" not in block.get(
            "class", ""
        ):
            text = re.sub(r"^\d+ |go to \d+$|\+[\d ]+", "", " ".join(read(block).split())).strip(" .")
            if text:
                said.append(f"{text}." if text[-1] not in "?!:" else text)
    return " ".join(said)


@pytest.mark.parametrize("van", VANS)
def test_every_symptom_is_found_from_the_first_screen(van):
    listed = {link.get("href") for link in page(van, "trouble.md").iter("a")}
    listed |= {link.get("href") for link in page(van, "lights.md").iter("a")}
    for fault in symptoms(van):
        assert built(path_of(fault)) in listed


@pytest.mark.parametrize("van", VANS)
def test_the_page_of_a_fuse_leads_to_the_trees_of_its_loads(van):
    stopped = {fault.subject: path_of(fault) for fault in symptoms(van) if fault.kind == "stopped"}
    for circuit in book(van).system.circuits:
        text = manual(van).files[f"fuse/{circuit.fuse.board}.{circuit.fuse.position}.md"]
        for load in circuit.loads:
            if load in stopped:
                assert f"(../{built(stopped[load])})" in str(text)
    for path, text in manual(van).files.items():
        assert not path.startswith("fuse/") or "still-on" not in str(text)  # nothing is cut off then


@given(st.lists(st.text("ab", min_size=6, max_size=6), min_size=0, max_size=5))
def test_numbers_lead_where_the_tree_leads(rows):
    start = tree(problem([1, 2, 3, 4, 5, 6], [(1, row) for row in rows]), "owner").start
    for ends in (True, False):
        steps = {one.number: one for one in numbered(start, ends)}
        for gone, leaf in paths(start):
            number = 1
            for _question, answer in gone:
                number = dict(steps[number].onward)[answer]
            assert steps[number].step == leaf
        counted = sorted(number for number in steps if number > 0)
        assert counted == list(range(1, len(counted) + 1))


@pytest.mark.parametrize("van", VANS)
def test_an_isolator_that_does_not_isolate_is_warned_of_before_anything_is_asked(van):
    warning = CAUTIONS["not-isolated.avoid"]
    led = {link.get("href") for link in page(van, "safe.md").iter("a")}
    isolators = book(van).pieces(eq.Isolator)
    for fault in symptoms(van):
        isolates = fault.kind == "still-on" and fault.subject in isolators
        for path in (path_of(fault), path_of(fault, "electrician/fault")):
            before = words(page(van, path)).partition(TROUBLE["ask.position"].partition(":")[0])[0]
            assert (warning in before) == isolates
        assert (built(path_of(fault)) in led) == isolates
    assert isolators


def test_every_kind_of_symptom_has_all_its_words():
    """Those too that no demonstration van shows."""
    kinds = set(TROUBLE["symptom"])
    assert {fault.kind for van in VANS for fault in symptoms(van)} <= kinds
    assert set(TROUBLE["given"]) - {"not-isolated"} == set(TROUBLE["then"]) == set(TROUBLE["leave"]) == kinds
