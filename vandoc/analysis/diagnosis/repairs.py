"""The last step of a tree: what an end names is put right, and one looks whether that has helped."""

from dataclasses import replace

from vandoc.analysis.diagnosis.problem import Cause, EndNode, Question, QuestionNode, Reader, TreeNode
from vandoc.analysis.diagnosis.trees import Tree

MEND, MENDED, NO_CHANGE = "mend", "mended", "no change"


def with_last_step(tree: Tree, reader: Reader) -> Tree:
    """Return a tree whose every end that names causes asks whether their repair has helped.

    A tree knows single faults only. Where the symptom is still there afterwards, it leads to an end without
    causes: more than one thing may be wrong. A repair on trial, such as a new fuse, has asked already.

    Parameters
    ----------
    tree : Tree
    reader : Reader

    Examples
    --------
    >>> from vandoc.analysis.diagnosis.problem import Cause
    >>> end = EndNode((Cause("dead pump", "dead", "pump", 1.0),))
    >>> complete = with_last_step(Tree(end, 0.0, 0.0, True, (("dead pump",),)), "owner")
    >>> [(answer, len(after.causes)) for answer, after in complete.start.branches]
    [('mended', 1), ('no change', 0)]
    """
    return replace(tree, start=_LastSteps(reader).after(tree.start))


def causes_named(step: TreeNode) -> tuple[Cause, ...]:
    """Return the causes that a step names, most likely first; a question names none."""
    if isinstance(step, EndNode):
        return step.causes
    return causes_named(dict(step.branches)[MENDED]) if step.question.kind == MEND else ()


class _LastSteps:
    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self._made: dict[tuple[int, str], TreeNode] = {}  # what branches share stays shared

    def after(self, step: TreeNode, answer: str = "") -> TreeNode:
        """Return a step that an answer has led to, with last steps below it."""
        key = id(step), answer
        if key not in self._made:
            if isinstance(step, QuestionNode):
                branches = tuple((words, self.after(after, words)) for words, after in step.branches)
                self._made[key] = QuestionNode(step.question, branches)
            elif not step.causes or answer == MENDED:
                self._made[key] = step
            else:
                self._made[key] = self._mending(step)
        return self._made[key]

    def _mending(self, leaf: EndNode) -> QuestionNode:
        causes = tuple(cause.id for cause in leaf.causes)
        question = Question(
            f"{MEND} {', '.join(causes)}",
            MEND,
            causes,
            0.0,
            self.reader,
            (MENDED, NO_CHANGE),
            frozenset(causes),
        )
        return QuestionNode(question, ((MENDED, leaf), (NO_CHANGE, EndNode(()))))
