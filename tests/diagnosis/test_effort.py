"""How much effort the trees of the demonstration vans take, beside what no tree can take less than."""

import pytest

from tests.diagnosis.conftest import NAMES
from tests.diagnosis.lower_bound import lower_bound
from vandoc.analysis.diagnosis.trees import trees

ALWAYS_EXACT = 12  # groups
NEAR = 1.25  # times the bound


@pytest.fixture(scope="module", params=NAMES)
def van(request):
    return request.param


@pytest.fixture(scope="module", params=["owner", "electrician"])
def made(request, van, diagnoses):
    """All problems of a van, each with its tree for one of the readers."""
    reader = request.param
    problems = [case.problem for case in diagnoses[van].cases()]
    return reader, list(zip(problems, trees(problems, reader), strict=True))


def test_a_tree_that_is_not_the_best_is_near_the_bound(made):
    """Every sixth of them; the benchmark `tests/benchmarks/fault_trees.py` prints all."""
    reader, found = made
    not_best = [one for one in found if not one[1].exact]
    for problem, tree in not_best[::6]:
        assert len(tree.groups) > ALWAYS_EXACT, problem.symptom
        assert tree.effort <= NEAR * lower_bound(problem, reader), problem.symptom


def test_no_tree_takes_more_than_the_plain_walk(made):
    for problem, tree in made[1]:
        assert tree.effort <= tree.walk * (1 + 1e-9), problem.symptom
