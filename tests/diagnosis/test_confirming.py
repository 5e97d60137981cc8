"""No part is named by elimination alone if a measurement can confirm it."""

import pytest

from tests.diagnosis.test_trees import paths, problem
from vandoc.analysis.diagnosis.completing import complete_trees
from vandoc.analysis.diagnosis.confirming import UNCONFIRMED, with_confirmation
from vandoc.analysis.diagnosis.problem import EndNode, QuestionNode
from vandoc.analysis.diagnosis.repairs import end_named
from vandoc.analysis.diagnosis.trees import tree


def test_a_cause_left_by_elimination_is_measured_by_hand():
    """q0 tells c0 from the rest, q1 tells c1; so c2 is left, and only q2 shows it: 1, 1 and 3 minutes."""
    made = problem([8, 4, 1], [(1, "abb"), (1, "bab"), (3, "bba")])
    plain = tree(made, "electrician")
    assert plain.effort == pytest.approx((1 * 13 + 1 * 5) / 13)
    found = with_confirmation(made, plain)
    assert found.effort == pytest.approx((1 * 13 + 1 * 5 + 3 * 1) / 13)
    ends = {
        tuple((question.id, answer) for question, answer in gone): [cause.id for cause in leaf.causes]
        for gone, leaf in paths(found.start)
    }
    assert ends == {
        (("q0", "a"),): ["c0"],
        (("q0", "b"), ("q1", "a")): ["c1"],
        (("q0", "b"), ("q1", "b"), ("q2", "a")): ["c2"],
        (("q0", "b"), ("q1", "b"), ("q2", "b")): [],  # it does not fit: more than one thing is wrong
    }


def test_a_cause_that_nothing_can_confirm_is_said_to_be_so():
    made = problem([8, 4, 1], [(1, "abb"), (1, "bab")])
    (left,) = [
        leaf for _, leaf in paths(with_confirmation(made, tree(made, "electrician")).start) if leaf.kind
    ]
    assert left == EndNode((made.causes[2],), UNCONFIRMED)


def test_every_end_of_the_demo_trees_is_confirmed_or_says_that_it_is_not(diagnoses):
    """Followed answer by answer: one answer on the way is given by faults of the named part alone."""
    problems = [case.problem for case in diagnoses["wren"].cases()]
    confirmed = unconfirmed = 0
    for made, whole in zip(problems, complete_trees(problems, "electrician"), strict=True):
        known = {question.id for question in made.questions}

        def parts(question, answer, made=made):
            return {cause.part for cause in made.causes if answer in made.possible[question.id, cause.id]}

        def walk(step, gone, made=made, known=known, parts=parts):
            nonlocal confirmed, unconfirmed
            end = end_named(step)
            if end is None:
                for answer, below in step.branches:
                    walk(below, [*gone, (step.question, answer)])
                return
            named = {cause.part for cause in end.causes}
            if len(named) != 1 or (isinstance(step, QuestionNode) and "gates" in step.question.id):
                return
            shown = any(parts(question, answer) == named for question, answer in gone if question.id in known)
            assert shown != (end.kind == UNCONFIRMED), (made.symptom, end)
            confirmed, unconfirmed = confirmed + shown, unconfirmed + (not shown)

        walk(whole.start, [])
    assert confirmed > 30 * unconfirmed
