"""A tree as numbered steps, each of which says where its answers lead."""

from collections.abc import Collection
from dataclasses import dataclass

from vandoc.diagnosis.problem import Ask, Leaf, Step


@dataclass(frozen=True)
class Numbered:
    """One step.

    Attributes
    ----------
    number : int
        From 1, in the order of a walk that takes each first answer first; an end may have one below 0.
    step : Step
    back : int or None
        The step before it; None at the start.
    onward : tuple of (str, int)
        Each answer with the step that it leads to; empty at an end.
    last : tuple of (str, str), or None
        The kind of the question before it, and the answer that leads here.
    """

    number: int
    step: Step
    back: int | None
    onward: tuple[tuple[str, int], ...]
    last: tuple[str, str] | None


def numbered(start: Step, ends: bool = True) -> tuple[Numbered, ...]:
    """Return every step of a tree; ends that say the same are one, reached from several steps.

    Parameters
    ----------
    start : Step
    ends : bool
        Whether ends count; where they are told beside the answer they get numbers of their own, below 0.
    """
    made: list[Numbered] = []
    known: dict[object, int] = {}
    counts = {True: 0, False: 0}

    def walk(step: Step, back: int | None, last: tuple[str, str] | None) -> int:
        key = (step, last) if isinstance(step, Leaf) and step.causes else step
        if isinstance(step, Leaf) and key in known:
            return known[key]
        counts_here = ends or isinstance(step, Ask) or back is None
        counts[counts_here] += 1
        number = counts[counts_here] * (1 if counts_here else -1)
        onward: tuple[tuple[str, int], ...] = ()
        if isinstance(step, Leaf):
            known[key] = number
        else:
            kind = step.question.kind
            onward = tuple((answer, walk(after, number, (kind, answer))) for answer, after in step.branches)
        made.append(Numbered(number, step, back, onward, last))
        return number

    walk(start, None, None)
    return tuple(sorted(made, key=lambda one: one.number))


def entry(steps: Collection[Numbered], left: Collection[str]) -> int:
    """Return the first step of a tree at which some causes part, such as those that another tree has left.

    Parameters
    ----------
    steps : collection of Numbered
    left : collection of str
        Causes, by id.
    """
    held: dict[int, frozenset[str]] = {}
    onward = {one.number: {after for _, after in one.onward} for one in steps}

    def of(number: int) -> frozenset[str]:
        if number not in held:
            held[number] = frozenset().union(*map(of, onward[number]))
        return held[number]

    for one in steps:
        if isinstance(one.step, Leaf):
            held[one.number] = frozenset(cause.id for cause in one.step.causes)
    number = 1
    while True:
        live = [after for after in onward[number] if of(after).intersection(left)]
        if len(live) != 1 or live[0] < 0:
            return number
        number = live[0]
