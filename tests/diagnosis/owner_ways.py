"""What every owner's tree keeps to, in any van."""

from collections.abc import Iterator

from vandoc.analysis.diagnosis.gates import OFF
from vandoc.analysis.diagnosis.problem import EndNode, Problem, QuestionNode, TreeNode
from vandoc.analysis.diagnosis.trees import Tree

MOST_STEPS = 6  # the end counts as one, and so do all first questions on their screen
LOOKS = ("works", "light", "position", "position-off")


def ways(step: TreeNode, gone: tuple[QuestionNode, ...] = ()) -> Iterator[tuple[QuestionNode, ...]]:
    """The questions on each way to an end."""
    if isinstance(step, EndNode):
        yield gone
    else:
        for _, after in step.branches:
            yield from ways(after, (*gone, step))


def broken_by(problem: Problem, tree: Tree) -> list[str]:
    """The kinds of question of each way that is too long, or asks what an owner is not asked."""
    off = {
        one.removeprefix(OFF)
        for one in (problem.gates.answers if problem.gates else ())
        if one.startswith(OFF)
    }
    found = []
    for way in ways(tree.start):
        kinds = [one.question.kind for one in way]
        twice = any(one.question.kind == "position" and one.question.subjects[0] in off for one in way)
        many = sum(kind in LOOKS for kind in kinds) > 1 or kinds.count("fuse-look") > 1
        others = any(one.question.reader != "owner" for one in way) or "charge" in kinds
        if len(way) + 1 > MOST_STEPS or twice or many or others:
            found.append(f"{problem.symptom}: {', '.join(kinds)}")
    return found
