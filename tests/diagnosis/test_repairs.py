"""The last step of a tree: an end that names causes asks, and leads on where repair has not helped."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.diagnosis.test_trees import paths, problem
from vandoc.analysis.diagnosis.problem import Cause, EndNode, Problem, Question, QuestionNode
from vandoc.analysis.diagnosis.repairs import NO_CHANGE, REPAIR, REPAIRED, causes_named, with_last_step
from vandoc.analysis.diagnosis.trees import Tree, tree


@given(st.lists(st.text("abc", min_size=6, max_size=6), min_size=0, max_size=5))
def test_every_end_asks_whether_its_repair_has_helped(rows):
    plain = tree(problem([1, 2, 3, 4, 5, 6], [(1, row) for row in rows]), "owner")
    whole = with_last_step(plain, "electrician")
    expected = set()
    for gone, leaf in paths(plain.start):
        if leaf.causes:
            asked = Question(
                f"repair {', '.join(cause.id for cause in leaf.causes)}",
                REPAIR,
                tuple(cause.id for cause in leaf.causes),
                0.0,
                "electrician",
                (REPAIRED, NO_CHANGE),
                frozenset(cause.id for cause in leaf.causes),
            )
            expected |= {((*gone, (asked, REPAIRED)), leaf), ((*gone, (asked, NO_CHANGE)), EndNode(()))}
        else:
            expected.add((gone, leaf))
    assert set(paths(whole.start)) == expected
    assert (whole.effort, whole.walk, whole.groups) == (plain.effort, plain.walk, plain.groups)


def test_a_repair_on_trial_has_asked_already():
    causes = (Cause("fuse-blown f", "fuse-blown", "f", 1.0), Cause("dead pump", "dead", "pump", 1.0))
    swap = Question(
        "swap", "fuse-swap", ("f",), 1.0, "owner", (NO_CHANGE, REPAIRED), frozenset({"fuse-blown f"})
    )
    possible = {
        ("swap", "fuse-blown f"): frozenset({REPAIRED}),
        ("swap", "dead pump"): frozenset({NO_CHANGE}),
    }
    start = with_last_step(tree(Problem("any", causes, (swap,), possible), "owner"), "electrician").start
    assert isinstance(start, QuestionNode)
    after = dict(start.branches)
    assert after[REPAIRED] == EndNode(causes[:1])
    assert isinstance(after[NO_CHANGE], QuestionNode)
    assert causes_named(after[NO_CHANGE]) == causes[1:]
    assert causes_named(start) == ()


@pytest.mark.parametrize(
    ("causes", "asked"),
    [
        (("left-off switch",), True),
        (("left-on switch",), True),
        (("flat house", "cell-gone house"), True),  # a charge shows which
        (("left-off switch", "stuck-open switch"), False),
        (("left-off switch", "flat house"), False),
        (("dead pump",), False),
    ],
)
def test_an_owner_is_asked_only_about_what_an_owner_puts_right(causes, asked):
    end = EndNode(tuple(Cause(name, *name.split(), 1.0) for name in causes))
    whole = with_last_step(Tree(end, 0.0, 0.0, True, ()), "owner")
    assert isinstance(whole.start, QuestionNode) == asked
