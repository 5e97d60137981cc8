"""Trees against every tree there is, codes against a table, and orders that the field knows by name."""

from dataclasses import replace
from fractions import Fraction
from math import ceil, log2
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.diagnosis.lower_bound import lower_bound
from vandoc.analysis.diagnosis.bound import huffman, quick_bound
from vandoc.analysis.diagnosis.problem import Cause, EndNode, Problem, Question, QuestionNode, TreeNode
from vandoc.analysis.diagnosis.table import Table
from vandoc.analysis.diagnosis.trees import tree


def problem(weights, questions):
    """Make a problem; a question is (effort, answers of each cause as text, reader)."""
    causes = tuple(Cause(f"c{n}", "any", f"part{n}", weight) for n, weight in enumerate(weights))
    asked, possible = [], {}
    for n, (effort, rows, *reader) in enumerate(questions):
        answers = tuple(sorted(set("".join(rows))))
        asked.append(Question(f"q{n}", "any", (), effort, reader[0] if reader else "owner", answers))
        possible |= {(f"q{n}", cause.id): frozenset(row) for cause, row in zip(causes, rows, strict=True)}
    return Problem("any", causes, tuple(asked), possible)


def every_tree(causes, asked, possible):
    """Return the least effort by trying every question in every state; weights are exact fractions."""
    weights = tuple(sorted(causes.items()))
    if weights in every_tree.seen:
        return every_tree.seen[weights]
    best = None
    for question in asked:
        branches = {}
        for cause, weight in causes.items():
            got = possible[question.id, cause]
            for answer in got:
                branches.setdefault(answer, {})[cause] = weight / len(got)
        if all(len(branch) < len(causes) for branch in branches.values()):
            effort = Fraction(question.effort) * sum(causes.values()) + sum(
                every_tree(branch, asked, possible) for branch in branches.values()
            )
            best = effort if best is None else min(best, effort)
    every_tree.seen[weights] = best or Fraction(0)
    return every_tree.seen[weights]


def least(made):
    every_tree.seen = {}
    weights = {cause.id: Fraction(cause.weight) for cause in made.causes}
    return float(every_tree(weights, made.questions, made.possible) / sum(weights.values()))


def huffman_bound(made):
    table = Table.of(made, "owner")
    return quick_bound(table, table.start) / sum(table.weights)


def paths(step: TreeNode, gone=()):
    if isinstance(step, EndNode):
        yield gone, step
        return
    for answer, onward in step.branches:
        yield from paths(onward, (*gone, (step.question, answer)))


def depth(step: TreeNode) -> int:
    return max(len(gone) for gone, _leaf in paths(step))


@st.composite
def problems(draw, unsure: bool, least_effort: int):
    count = draw(st.integers(1, 5 if unsure else 8))
    weights = draw(st.lists(st.integers(1, 20), min_size=count, max_size=count))
    row = st.lists(
        st.sampled_from(["a", "b", "c", *(["ab", "bc"] if unsure else [])]), min_size=count, max_size=count
    )
    asked = draw(st.lists(st.tuples(st.integers(least_effort, 9), row), min_size=0, max_size=6))
    return problem(weights, asked)


def unsure_before_sure():
    """Four causes with an unsure question that only leads on before the cheap one is answered.

    By hand: q2 first (2 for all ten), then q3 for c0 and half of c1 (6 for 4.5), and q1 for the rest
    (1 for 5.5): 52.5 in sum.
    """
    return problem([1, 7, 1, 1], [(1, "aaaa"), (1, "aabb"), (2, ["a", "ab", "b", "b"]), (6, "abaa")])


def test_a_question_may_be_asked_before_the_one_after_which_it_leads_nowhere():
    assert tree(unsure_before_sure(), "owner").effort == least(unsure_before_sure()) == 5.25


@settings(max_examples=300, deadline=None)
@example(unsure_before_sure())
@given(st.one_of(problems(unsure=False, least_effort=0), problems(unsure=True, least_effort=1)))
def test_no_tree_takes_less_effort(made):
    found = tree(made, "owner")
    assert found.exact
    assert found.effort == pytest.approx(least(made), rel=1e-9)
    assert lower_bound(made, "owner") <= found.effort + 1e-9
    assert found.effort <= found.walk + 1e-9


def test_no_tree_takes_less_effort_for_twelve_groups():
    """Twelve like causes, each question sure: no tree is below the best of every tree, here by sets."""
    numbers = Random(12)
    for _ in range(3):
        weights = [numbers.randint(1, 9) for _ in range(12)]
        asked = [
            (numbers.choice([0.5, 2, 3, 7]), [numbers.choice("aab") for _ in range(12)]) for _ in range(14)
        ]
        made = problem(weights, asked)
        found = tree(made, "owner")
        assert found.exact
        assert found.effort == pytest.approx(least(made), rel=1e-9)
        assert lower_bound(made, "owner") <= found.effort + 1e-9


@settings(max_examples=200, deadline=None)
@given(problems(unsure=True, least_effort=0))
def test_a_leaf_holds_just_the_causes_that_give_its_answers(made):
    told_apart = {
        frozenset((one.id, other.id))
        for one in made.causes
        for other in made.causes
        for question in made.questions
        if not made.possible[question.id, one.id] & made.possible[question.id, other.id]
    }
    seen = set()
    for gone, leaf in paths(tree(made, "owner").start):
        expected = {
            cause.id
            for cause in made.causes
            if all(answer in made.possible[question.id, cause.id] for question, answer in gone)
        }
        assert {cause.id for cause in leaf.causes} == expected
        assert len({question.id for question, _answer in gone}) == len(gone)  # nothing is asked twice
        assert not told_apart & {frozenset((a, b)) for a in expected for b in expected}
        seen |= expected
    assert seen == {cause.id for cause in made.causes}


@pytest.mark.parametrize("count", [4, 10, 25])
def test_the_lower_bound_by_hand(count):
    """Like causes, each with a question of its own, one after another: (n - 1)(n + 2) / 2n questions.

    All pairs bear the same price; of n causes a question parts n - 1 pairs for n: they are worth n / 2.
    """
    own = [(1, ["a" if cause == one else "b" for cause in range(count)]) for one in range(count)]
    made = problem([1] * count, own)
    assert tree(made, "owner").effort == pytest.approx((count - 1) * (count + 2) / (2 * count))
    assert lower_bound(made, "owner") == pytest.approx(count / 2, rel=1e-5)


def test_a_large_problem_stays_near_its_bound_and_below_the_walk():
    """64 like causes in a chain, measured at any joint: 6 questions, by information theory."""
    chain = [(1, ["a" if cause <= joint else "b" for cause in range(64)]) for joint in range(63)]
    dear = [(3, ["a" if cause == one else "b" for cause in range(64)]) for one in range(64)]
    made = problem([1] * 64, dear + chain)
    found = tree(made, "owner")
    assert found.effort == huffman_bound(made) == 6
    assert found.walk > 90


@settings(max_examples=15, deadline=None)
@given(st.lists(st.floats(0.1, 10), min_size=14, max_size=40))
def test_a_long_chain_of_unlike_causes_stays_near_its_bound(weights):
    chain = [
        (1, ["a" if cause <= joint else "b" for cause in range(len(weights))])
        for joint in range(len(weights) - 1)
    ]
    made = problem(weights, chain)
    found = tree(made, "owner")
    assert found.effort <= 1.25 * huffman_bound(made)
    assert found.effort <= found.walk


@pytest.mark.parametrize("count", [2, 3, 5, 8, 13, 21])
def test_a_chain_is_halved(count):
    """Half-splitting, the technician's rule: binary search needs ceil(log2 n) questions."""
    chain = [(2, ["a" if cause <= joint else "b" for cause in range(count)]) for joint in range(count - 1)]
    found = tree(problem([1] * count, chain), "owner")
    assert depth(found.start) == ceil(log2(count))
    if count > 2:
        first = found.start
        assert isinstance(first, QuestionNode)
        sizes = [sum(len(leaf.causes) for _, leaf in paths(onward)) for _, onward in first.branches]
        assert abs(sizes[0] - sizes[1]) <= count // 3 + 1


@given(
    st.lists(
        st.tuples(st.integers(1, 30), st.integers(1, 9)),
        min_size=2,
        max_size=7,
        unique_by=lambda p: p[0] / p[1],
    )
)
@settings(max_examples=100, deadline=None)
def test_repairs_come_by_likelihood_over_effort(pairs):
    """J. B. Kadane and H. A. Simon, "Optimal strategies for a class of constrained sequential problems",
    Annals of Statistics 5(2), 1977 (from memory): what is tried one after another goes by weight over effort.
    """
    count = len(pairs)
    swaps = [
        (effort, ["w" if cause == one else "n" for cause in range(count)])
        for one, (_weight, effort) in enumerate(pairs)
    ]
    found = tree(problem([weight for weight, _ in pairs], swaps), "owner")
    tried = max((gone for gone, _ in paths(found.start)), key=len)
    ratios = [pairs[int(question.id[1:])] for question, _answer in tried]
    assert [w / e for w, e in ratios] == sorted((w / e for w, e in ratios), reverse=True)
    assert len(ratios) == count - 1  # the last one left is known without a try


def test_code_lengths_are_those_of_huffmans_paper():
    """The example of the 1952 paper, table I: 13 messages, mean length 3.42 (from memory)."""
    weights = [0.20, 0.18, 0.10, 0.10, 0.10, 0.06, 0.06, 0.04, 0.04, 0.04, 0.04, 0.03, 0.01]
    assert huffman(weights) == pytest.approx(3.42)


@given(st.lists(st.integers(0, 50), min_size=1, max_size=7), st.integers(2, 4))
@settings(deadline=None, max_examples=100)
def test_no_code_is_shorter(weights, ways):
    """Against every way to merge, on multisets."""
    from functools import cache
    from itertools import combinations

    @cache
    def shortest(left):
        if len(left) == 1:
            return 0
        return min(
            sum(left[n] for n in taken)
            + shortest(
                tuple(
                    sorted(
                        [*(left[n] for n in range(len(left)) if n not in taken), sum(left[n] for n in taken)]
                    )
                )
            )
            for size in range(2, min(ways, len(left)) + 1)
            for taken in combinations(range(len(left)), size)
        )

    assert huffman(weights, ways) == shortest(tuple(sorted(weights)))


def test_questions_without_effort_come_first():
    found = tree(problem([1, 1, 1, 5], [(1, "aabc"), (0, "aaab"), (1, "abcc")]), "owner")
    assert isinstance(found.start, QuestionNode)
    assert found.start.question.id == "q1"


def test_an_owner_is_asked_no_electricians_question_and_the_electrician_goes_on():
    made = problem([3, 2, 1], [(1, "aab", "owner"), (1, "aba", "electrician")])
    owners = tree(made, "owner")
    assert {question.reader for gone, _ in paths(owners.start) for question, _ in gone} == {"owner"}
    left = [leaf for _, leaf in paths(owners.start) if len(leaf.causes) == 2]
    assert [[cause.id for cause in leaf.causes] for leaf in left] == [["c0", "c1"]]  # most likely first
    onward = tree(replace(made, causes=left[0].causes), "electrician")
    assert [len(leaf.causes) for _, leaf in paths(onward.start)] == [1, 1]


def test_an_answer_that_no_cause_gives_has_its_branch():
    made = problem([1, 1], [(1, "ab")])
    question = Question("q0", "any", (), 1, "owner", ("a", "b", "other"))
    found = tree(Problem("any", made.causes, (question,), made.possible), "owner")
    assert isinstance(found.start, QuestionNode)
    assert found.start.branches[2] == ("other", EndNode(()))


def test_nothing_known_of_a_cause_leaves_it_possible_everywhere():
    made = problem([1, 1, 1], [(1, "abb")])
    possible = {key: value for key, value in made.possible.items() if key[1] != "c2"}
    found = tree(Problem("any", made.causes, made.questions, possible), "owner")
    for _, leaf in paths(found.start):
        assert "c2" in {cause.id for cause in leaf.causes}


def test_a_problem_without_questions_or_causes_has_a_tree():
    assert tree(problem([2, 3], []), "owner").start == EndNode(
        tuple(sorted(problem([2, 3], []).causes, key=lambda cause: -cause.weight))
    )
    assert tree(Problem("any", (), (), {}), "owner").start == EndNode(())
