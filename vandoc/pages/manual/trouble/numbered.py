"""A fault tree as numbered steps, each with the next step for every answer."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from vandoc.analysis.diagnosis.problem import EndNode, Question, QuestionNode, TreeNode
from vandoc.analysis.diagnosis.repairs import REPAIR, REPAIRED, causes_named


@dataclass(frozen=True)
class NumberedStep:
    """One numbered step of a fault tree.

    Attributes
    ----------
    number : int
        From 1 in depth-first order, first answers first, ends last; negative if shown beside an answer.
    step : TreeNode
    back : int or None
        The previous step; None at the start, and if several steps lead to it.
    onward : tuple of (str, int)
        Each answer with the number of the next step; empty at an end.
    last : tuple of (str, str), or None
        The kind of the previous question, and the answer that leads here.
    """

    number: int
    step: TreeNode
    back: int | None
    onward: tuple[tuple[str, int], ...]
    last: tuple[str, str] | None


def numbered(start: TreeNode, ends: bool = True) -> tuple[NumberedStep, ...]:
    """Return every step of a tree; equivalent steps are merged.

    Parameters
    ----------
    start : TreeNode
    ends : bool
        Whether steps that name causes are separate steps; otherwise shown beside the answer (negative
        numbers).
    """
    made: dict[int, NumberedStep] = {}
    known: dict[object, int] = {}
    shared: set[int] = set()

    def walk(step: TreeNode, back: int | None, last: tuple[str, str] | None) -> int:
        """Number a step and its successors, and return its number."""
        key = _sameness(step, last)
        if key in known:
            same = made[known[key]]
            if same.back != back:
                shared.add(same.number)
                shared.update(after for _, after in same.onward if is_told(same))
            return same.number
        number = known[key] = len(known) + 1
        made[number] = NumberedStep(number, step, back, (), last)
        if isinstance(step, QuestionNode):
            kind, below = step.question.kind, back if is_told(made[number]) else number
            onward = tuple((answer, walk(after, below, (kind, answer))) for answer, after in step.branches)
            made[number] = replace(made[number], onward=onward)
        return number

    def is_told(one: NumberedStep) -> bool:
        """Whether a step is shown beside the answer that leads to it."""
        return not ends and one.back is not None and bool(causes_named(one.step))

    walk(start, None, None)
    told = [one.number for one in made.values() if is_told(one)]
    shown = sorted(made.keys() - told, key=lambda number: (isinstance(made[number].step, EndNode), number))
    numbers = {number: place for place, number in enumerate(shown, 1)}
    numbers |= {number: -place for place, number in enumerate(told, 1)}
    renumbered = (
        replace(
            one,
            number=numbers[one.number],
            back=None if one.back is None or one.number in shared else numbers[one.back],
            onward=tuple((answer, numbers[after]) for answer, after in one.onward),
        )
        for one in made.values()
    )
    return tuple(sorted(renumbered, key=lambda one: one.number))


def _sameness(step: TreeNode, last: tuple[str, str] | None) -> object:
    """The key by which equivalent steps are merged: a question with all that follows it is one object."""
    if isinstance(step, QuestionNode):
        return step.question.id if step.question.kind == REPAIR else ("question", id(step))
    return last if last == (REPAIR, REPAIRED) else step


def entry(
    steps: Collection[NumberedStep], left: Collection[str], known: Mapping[Question, str] | None = None
) -> int:
    """Return the step of a tree at which another reader goes on with what was learnt.

    Parameters
    ----------
    steps : collection of NumberedStep
    left : collection of str
        Ids of the causes left; a step that does not separate them is passed.
    known : mapping of Question to str, optional
        Questions that were answered, with their answers; these steps are passed too.
    """
    held: dict[int, frozenset[str]] = {}
    by_number = {one.number: one for one in steps}
    answered = {question.id: answer for question, answer in (known or {}).items()}

    def of(number: int) -> frozenset[str]:
        if number not in held:
            held[number] = frozenset().union(*(of(after) for _, after in by_number[number].onward))
        return held[number]

    for one in steps:
        if isinstance(one.step, EndNode) or causes_named(one.step):
            held[one.number] = frozenset(cause.id for cause in causes_named(one.step))
    number = 1
    while True:
        one = by_number[number]
        live = [after for _, after in one.onward if of(after).intersection(left)]
        told = answered.get(one.step.question.id) if isinstance(one.step, QuestionNode) else None
        after = dict(one.onward).get(told, number) if told is not None else number
        if after != number and of(after).intersection(left):
            live = [after]
        if len(live) != 1 or live[0] < 0:
            return number
        number = live[0]
