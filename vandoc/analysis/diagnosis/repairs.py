"""The last step of a tree: repair what its end names, then test whether the symptom has gone."""

from collections.abc import Collection
from dataclasses import replace

from vandoc.analysis.diagnosis.problem import Cause, EndNode, Question, QuestionNode, Reader, TreeNode
from vandoc.analysis.diagnosis.trees import Tree

REPAIR, REPAIRED, NO_CHANGE = "repair", "repaired", "no change"


def owner_repairs(causes: Collection[Cause]) -> bool:
    """Return whether causes are one part that an owner puts right: by its switch, or by a charge."""
    kinds = {cause.kind for cause in causes}
    alone = len({cause.part for cause in causes}) == 1
    return alone and (kinds <= {"left-off", "left-on"} or "flat" in kinds)


def with_last_step(tree: Tree, reader: Reader) -> Tree:
    """Return a tree in which every end that names causes asks whether their repair helped.

    An owner is asked only about what an owner repairs; the other ends of that tree call for help. A tree
    knows single faults only. If the symptom persists, the answer leads to an end without causes: more than
    one thing may be wrong. After a repair on trial, such as a new fuse, nothing more is asked.

    Parameters
    ----------
    tree : Tree
    reader : Reader

    Examples
    --------
    >>> from vandoc.analysis.diagnosis.problem import Cause
    >>> end = EndNode((Cause("dead pump", "dead", "pump", 1.0),))
    >>> complete = with_last_step(Tree(end, 0.0, 0.0, True, (("dead pump",),)), "electrician")
    >>> [(answer, len(after.causes)) for answer, after in complete.start.branches]
    [('repaired', 1), ('no change', 0)]
    """
    return replace(tree, start=_LastSteps(reader).after(tree.start))


def causes_named(step: TreeNode) -> tuple[Cause, ...]:
    """Return the causes that a node names, most likely first; none for a question of the tree."""
    end = end_named(step)
    return end.causes if end else ()


def end_named(step: TreeNode) -> EndNode | None:
    """Return the end that names the causes of a node; None for a question of the tree."""
    if isinstance(step, EndNode):
        return step
    return end_named(dict(step.branches)[REPAIRED]) if step.question.kind == REPAIR else None


class _LastSteps:
    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self._made: dict[tuple[int, str], TreeNode] = {}  # branches keep sharing their nodes

    def after(self, step: TreeNode, answer: str = "") -> TreeNode:
        """Return the node that an answer leads to, with last steps below it."""
        key = id(step), answer
        if key not in self._made:
            if isinstance(step, QuestionNode):
                branches = tuple((words, self.after(after, words)) for words, after in step.branches)
                self._made[key] = QuestionNode(step.question, branches)
            elif not step.causes or answer == REPAIRED or self._is_left(step):
                self._made[key] = step
            else:
                self._made[key] = self._repair_question(step)
        return self._made[key]

    def _is_left(self, end: EndNode) -> bool:
        """Whether an end is left to others."""
        return self.reader == "owner" and not owner_repairs(end.causes)

    def _repair_question(self, leaf: EndNode) -> QuestionNode:
        causes = tuple(cause.id for cause in leaf.causes)
        question = Question(
            f"{REPAIR} {', '.join(causes)}",
            REPAIR,
            causes,
            0.0,
            self.reader,
            (REPAIRED, NO_CHANGE),
            frozenset(causes),
        )
        return QuestionNode(question, ((REPAIRED, leaf), (NO_CHANGE, EndNode(()))))
