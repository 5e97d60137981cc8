"""A tree as readers follow it: first questions before it, confirming steps and the last step at its ends."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from vandoc.analysis.diagnosis.confirming import with_confirmation
from vandoc.analysis.diagnosis.gates import with_gates
from vandoc.analysis.diagnosis.problem import EndNode, Problem, QuestionNode, Reader, TreeNode
from vandoc.analysis.diagnosis.repairs import with_last_step
from vandoc.analysis.diagnosis.short import short_tree
from vandoc.analysis.diagnosis.trees import Tree, mean_effort, plain_walk, trees


def complete_trees(problems: Sequence[Problem], reader: Reader) -> tuple[Tree, ...]:
    """Return the tree of each problem for a reader, complete.

    An owner's is short and ends where a meter is needed. An electrician's begins with the same questions, so
    that whoever takes over goes on where the owner stopped, and confirms by measuring.
    """
    short = tuple(map(short_tree, problems))
    if reader == "electrician":
        short = tuple(
            with_confirmation(problem, tree)
            for problem, tree in zip(problems, _continued(problems, short), strict=True)
        )
    return tuple(
        with_gates(problem, reader, with_last_step(tree, reader))
        for problem, tree in zip(problems, short, strict=True)
    )


def _continued(problems: Sequence[Problem], short: Sequence[Tree]) -> Iterator[Tree]:
    """The trees of owners, each end that names several causes continued by a tree for an electrician."""
    left = {
        (number, end): _only(problem, end)
        for number, (problem, tree) in enumerate(zip(problems, short, strict=True))
        for end in _ends(tree.start)
        if len(end.causes) > 1
    }
    found = dict(zip(left, trees(left.values(), "electrician"), strict=True))
    for number, (problem, tree) in enumerate(zip(problems, short, strict=True)):
        below = {end: after for (of, end), after in found.items() if of == number}
        start = _with(tree.start, below)
        exact = all(after.exact for after in below.values())
        walk = plain_walk(problem, "electrician")
        yield replace(tree, start=start, effort=mean_effort(problem, start), walk=walk, exact=exact)


def _only(problem: Problem, end: EndNode) -> Problem:
    """A problem with just the causes that an end names."""
    return replace(problem, causes=tuple(cause for cause in problem.causes if cause in end.causes))


def _ends(step: TreeNode) -> Iterator[EndNode]:
    if isinstance(step, EndNode):
        yield step
    else:
        for _, after in step.branches:
            yield from _ends(after)


def _with(step: TreeNode, below: Mapping[EndNode, Tree]) -> TreeNode:
    """A tree whose ends are continued."""
    if isinstance(step, EndNode):
        return below[step].start if step in below else step
    return QuestionNode(
        step.question, tuple((answer, _with(after, below)) for answer, after in step.branches)
    )
