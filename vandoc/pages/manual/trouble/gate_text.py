"""Wording of what is asked before anything is measured, and of the ends that are no fault of the wiring."""

from vandoc.analysis.diagnosis.gates import OFF, low_v
from vandoc.analysis.diagnosis.problem import Question
from vandoc.ground.data import constant
from vandoc.ground.figures import quantity, stated
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import TROUBLE, tell


def gate_answer(book: Book, question: Question, answer: str) -> str:
    """Return an answer to the first question of a symptom in words."""
    kind, _ = question.subjects
    if answer == "still-so":
        return tell(f"answer.gates.still-so.{kind}")
    if answer == "low":
        return _low(book)
    if answer.startswith(OFF):
        return tell("answer.gates.off", name=book.name(answer.removeprefix(OFF)))
    values = {"limit": coldest(book)} if answer == "cold" else {}
    if answer in ("full", "percentage"):
        values = {"name": _monitor(book), "limit": stated(constant("nearly full").value, "%")}
    return tell(f"answer.gates.{answer}", **values)


def gate_end(book: Book, answer: str, values: dict[str, str]) -> tuple[str, tuple[str, ...], str]:
    """Return title, instructions and what to leave off, of an end that is no fault of the wiring.

    Parameters
    ----------
    book : Book
    answer : str
        The answer that leads there.
    values : dict of str to str
        Fill the fields of the instructions.
    """
    words = TROUBLE[f"nothing.{answer}"]
    known = {**values, "limit": coldest(book)}
    do = tuple(line.format_map(known) for line in words["do"])
    return words["title"], do, words["leave"].format_map(known)


def _monitor(book: Book) -> str:
    return next((monitor.name for monitor in book.pieces(eq.Monitor).values()), "")


def _low(book: Book) -> str:
    percent = constant("low charge").value
    if name := _monitor(book):
        return tell("answer.gates.low.monitor", name=name, limit=stated(percent, "%"))
    name = next(load.name for load in book.system.loads.values() if load.shows_voltage)
    return tell("answer.gates.low.voltmeter", name=name, limit=quantity(low_v(book.system), "V", places=1))


def coldest(book: Book) -> str:
    """Return the temperature below which the leisure batteries must not be charged; the highest of them."""
    limits = [battery.traits.lowest_charging_c for battery in book.leisure.values()]
    return stated(max((limit.high for limit in limits if limit), default=0.0), "°C")
