"""A tree as readers follow it: first questions before it, confirming steps and the last step at its ends."""

from collections.abc import Sequence

from vandoc.analysis.diagnosis.confirming import with_confirmation
from vandoc.analysis.diagnosis.gates import with_gates
from vandoc.analysis.diagnosis.problem import Problem, Reader
from vandoc.analysis.diagnosis.repairs import with_last_step
from vandoc.analysis.diagnosis.trees import Tree, trees


def complete_trees(problems: Sequence[Problem], reader: Reader) -> tuple[Tree, ...]:
    """Return the tree of each problem for a reader, complete; only an electrician confirms by measuring."""
    return tuple(
        with_gates(problem, reader, with_last_step(_confirmed(problem, reader, tree), reader))
        for problem, tree in zip(problems, trees(problems, reader), strict=True)
    )


def _confirmed(problem: Problem, reader: Reader, tree: Tree) -> Tree:
    return with_confirmation(problem, tree) if reader == "electrician" else tree
