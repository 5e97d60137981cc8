"""What the answers on the way to a step of a fault tree have told, for whoever takes over."""

from collections.abc import Iterator, Sequence

from vandoc.analysis.diagnosis.gates import GATES, IN_ORDER
from vandoc.analysis.diagnosis.problem import Question, QuestionNode
from vandoc.analysis.diagnosis.repairs import REPAIR
from vandoc.model import equipment as eq
from vandoc.pages.diagram.light import light_text
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import tell, upper_first
from vandoc.pages.manual.trouble.naming import key, part_name
from vandoc.pages.manual.trouble.numbered import NumberedStep

Known = dict[Question, str]
"""Questions that were answered, each with its answer."""


def known_at(steps: Sequence[NumberedStep]) -> dict[int, Known]:
    """Return for each step the answers that every way to it has in common, by its number.

    Parameters
    ----------
    steps : sequence of NumberedStep
        Of one tree; below its gates none of their answers but `IN_ORDER` counts, since the tree goes on as if
        nothing had been found.
    """
    by_number = {one.number: one for one in steps}
    found: dict[int, Known] = {}

    def walk(number: int, known: Known) -> None:
        held = found.get(number)
        found[number] = (
            known if held is None else {one: told for one, told in held.items() if known.get(one) == told}
        )
        step = by_number[number].step
        for answer, after in by_number[number].onward:
            assert isinstance(step, QuestionNode)
            told = step.question.kind != REPAIR
            walk(after, {**known, step.question: answer} if told else _in_order(known))

    walk(1, {})
    return found


def _in_order(known: Known) -> Known:
    return {question: IN_ORDER if question.kind == GATES else answer for question, answer in known.items()}


def learnt(book: Book, known: Known) -> Iterator[str]:
    """Yield what was learnt in words, and what to read out of how full the battery is."""
    for question, answer in known.items():
        if question.kind != GATES:
            yield upper_first(_told(book, question, answer))
    monitor = next(iter(book.pieces(eq.Monitor).values()), None)
    shown = monitor or next((load for load in book.system.loads.values() if load.shows_voltage), None)
    if shown is not None:
        yield tell("learnt.charge", name=shown.name)


def _told(book: Book, question: Question, answer: str) -> str:
    subject = question.subjects[0]
    fuse = book.network.fuses.get(subject) if question.kind in ("fuse-look", "fuse-swap") else None
    name = book.fuse_name(fuse) if fuse else part_name(book, subject)
    if question.kind == "light" and answer.startswith("light "):
        one = book.system.things[subject].indicators[int(answer.removeprefix("light ")) - 1]
        light = ", ".join(light_text(one.colour, one.pattern, one.shows or ""))
        return tell("learnt.light.shown", name=name, light=light)
    return tell(f"learnt.{question.kind}.{key(answer)}", name=name)
