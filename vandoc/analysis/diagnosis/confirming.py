"""The step that confirms a cause: an electrician's tree never names a part by elimination alone.

A cause is confirmed by an answer that no fault of another part gives. Where no answer on the way to an end is
one, the cheapest question that may give one is asked. If its answer does not fit, more than one is wrong.
"""

from dataclasses import replace

from vandoc.analysis.diagnosis.problem import Cause, EndNode, Problem, Question, QuestionNode, TreeNode
from vandoc.analysis.diagnosis.trees import Tree, mean_effort

UNCONFIRMED = "unconfirmed"


def with_confirmation(problem: Problem, tree: Tree) -> Tree:
    """Return an electrician's tree in which each end that names one part is confirmed, if that is possible.

    Ends that no question can confirm are of the kind `UNCONFIRMED`. The mean effort counts the added steps.

    Parameters
    ----------
    problem : Problem
    tree : Tree
        Without its last steps.
    """
    start = _Confirming(problem).after(tree.start, False)
    return replace(tree, start=start, effort=mean_effort(problem, start))


class _Confirming:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._made: dict[tuple[int, bool], TreeNode] = {}  # branches keep sharing their nodes
        self._parts: dict[tuple[str, str], frozenset[str]] = {}

    def after(self, step: TreeNode, confirmed: bool) -> TreeNode:
        """Return a node with confirming steps below it."""
        key = id(step), confirmed
        if key not in self._made:
            if isinstance(step, QuestionNode):
                branches = tuple(
                    (answer, self.after(below, confirmed or len(self._given_by(step.question, answer)) == 1))
                    for answer, below in step.branches
                )
                self._made[key] = QuestionNode(step.question, branches)
            else:
                self._made[key] = step if confirmed else self._confirmed(step)
        return self._made[key]

    def _confirmed(self, end: EndNode) -> TreeNode:
        parts = {cause.part for cause in end.causes}
        if len(parts) != 1:
            return end
        able = [question for question in self.problem.questions if self._confirms(question, end.causes)]
        if not able:
            return replace(end, kind=UNCONFIRMED)
        question = min(able, key=lambda one: one.effort)
        fitting = self._answers(question, end.causes)
        return QuestionNode(
            question,
            tuple((answer, end if answer in fitting else EndNode(())) for answer in question.answers),
        )

    def _confirms(self, question: Question, causes: tuple[Cause, ...]) -> bool:
        """Whether every answer of these causes, all of one part, is given by no other part."""
        return all(len(self._given_by(question, answer)) == 1 for answer in self._answers(question, causes))

    def _answers(self, question: Question, causes: tuple[Cause, ...]) -> frozenset[str]:
        return frozenset().union(*(self.problem.possible[question.id, cause.id] for cause in causes))

    def _given_by(self, question: Question, answer: str) -> frozenset[str]:
        """The parts of which some fault gives an answer."""
        key = question.id, answer
        if key not in self._parts:
            self._parts[key] = frozenset(
                cause.part
                for cause in self.problem.causes
                if answer in self.problem.possible[question.id, cause.id]
            )
        return self._parts[key]
