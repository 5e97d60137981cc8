"""Wording of the ends of a fault tree: what to do, what to leave off, whom to call, and what to tell them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from vandoc.analysis.diagnosis.gates import GATES, LOW, OTHERS
from vandoc.analysis.diagnosis.problem import Cause, EndNode
from vandoc.analysis.diagnosis.repairs import REPAIRED, causes_named, owner_repairs
from vandoc.analysis.diagnosis.short import NAMED, in_view
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import TROUBLE, tell
from vandoc.pages.manual.trouble.gate_text import gate_end
from vandoc.pages.manual.trouble.learnt import Known, learnt
from vandoc.pages.manual.trouble.naming import part_ids, part_name, place_of
from vandoc.pages.manual.trouble.numbered import NumberedStep, entry
from vandoc.pages.manual.trouble.question_text import LocationView, PageDrawings, charging
from vandoc.pages.manual.trouble.symptoms import (
    Fault,
    SymptomRow,
    blamed_source,
    choice_of,
    faults,
    name_of,
    path_of,
    title_of,
)

WIDER = {OTHERS: ("all-dead", "half-dead"), "never-full": ("never-full",)}
"""The kinds of symptom that an answer to the gates leads to instead."""
CALLS = ("still-so", "works-alone")
"""The answers to the gates after which help is called."""


@dataclass(frozen=True)
class SuspectPart:
    """A part that may be faulty: its name, possible faults and location."""

    name: str
    what: str
    where: str
    part: str
    kinds: tuple[str, ...]


@dataclass(frozen=True)
class End:
    """An end of a tree.

    Attributes
    ----------
    kind : str
        As in the messages.
    title : str
    do : tuple of str
        Instructions, one action each.
    leave : str
        What to leave off, or when.
    told : tuple of str
        What to tell whoever is called; empty if nothing was learnt.
    likely : tuple of SuspectPart
        The parts named, most likely first.
    alone : bool
        Whether a single part remains.
    look : LocationView or None
        Location of the likely parts.
    onward : str or None
        Address of the step at which the electrician continues.
    wider : tuple of SymptomRow
        The symptoms that fit better, if the answers are about more than this one.
    """

    kind: str
    title: str
    do: tuple[str, ...]
    leave: str
    told: tuple[str, ...] = ()
    likely: tuple[SuspectPart, ...] = ()
    alone: bool = False
    look: LocationView | None = None
    onward: str | None = None
    wider: tuple[SymptomRow, ...] = ()


def end_of(
    fault: Fault, one: NumberedStep, known: Known, onward: tuple[NumberedStep, ...], gallery: PageDrawings
) -> End:
    """Return an end of the owner's tree.

    Parameters
    ----------
    fault : Fault
    one : NumberedStep
        The last step of the owner's tree.
    known : dict of Question to str
        What was answered on every way to it.
    onward : tuple of NumberedStep
        The steps of the electrician's tree.
    gallery : PageDrawings
        Collects the drawings of the page.
    """
    book = gallery.book
    if isinstance(one.step, EndNode) and one.step.kind:
        return _no_fault(book, fault, one.step.kind, one.number)
    causes = causes_named(one.step)
    repaired = one.last is not None and one.last[1] == REPAIRED
    kind = one.last[0] if one.last and repaired else _kind_of(causes, one.last)
    words = TROUBLE[f"end.{kind}"]
    values = {"charging": charging(book, blamed_source(book, fault)), "leave": _leave(book, fault)}
    do, leave = tuple(line.format_map(values) for line in words["do"]), words["leave"].format_map(values)
    if repaired:
        return End(kind, words["title"], do, leave)
    told = (_here(book, fault, one.number), *learnt(book, known))
    if not causes:
        return End(kind, words["title"], do, leave, told, onward=path_of(fault, "electrician/fault"))
    in_sight = causes if owner_repairs(causes) else in_view(fault.problem, causes)
    parts, place = tuple(_parts(book, in_sight)), place_of(book, in_sight[0].part)
    look = gallery.plan(place) if place else None
    if owner_repairs(causes):
        return End(kind, words["title"], do, leave, (), parts, True, look)
    step = entry(onward, {cause.id for cause in causes}, known)
    onto = f"{path_of(fault, 'electrician/fault')}#step-{step}"
    elsewhere = all(cause.id in fault.problem.elsewhere for cause in causes)
    wider = _wider(book, fault, WIDER[OTHERS]) if elsewhere else ()
    alone = len(parts) == 1
    return End(kind, words["title"], do, leave, told, parts[:NAMED], alone, look, onto, wider)


def _no_fault(book: Book, fault: Fault, answer: str, number: int, folder: str = "fault") -> End:
    title, do, leave = gate_end(book, answer, {"leave": _leave(book, fault)})
    told = (_here(book, fault, number), *learnt(book, {})) if answer in CALLS else ()
    return End(
        f"nothing.{answer}", title, do, leave, told, wider=_wider(book, fault, WIDER.get(answer, ()), folder)
    )


def tracing_end(book: Book, fault: Fault, one: NumberedStep) -> End:
    """Return an end of the electrician's tree: no fault of the wiring, or more than one."""
    assert isinstance(one.step, EndNode)
    if one.step.kind:
        return _no_fault(book, fault, one.step.kind, one.number, "electrician/fault")
    words = TROUBLE["found.more"]
    return End("more", words["title"], tuple(words["do"]), _leave(book, fault))


def _here(book: Book, fault: Fault, number: int) -> str:
    return tell("learnt.here", title=title_of(book, fault), number=number)


def _wider(book: Book, fault: Fault, kinds: Sequence[str], folder: str = "fault") -> tuple[SymptomRow, ...]:
    boards = {one.fuse.board for one in book.system.circuits if fault.subject in one.loads}
    others = (
        other
        for other in faults(book)
        if other.kind in kinds and (other.kind != "half-dead" or other.subject in boards)
    )
    return tuple(choice_of(book, other, folder) for other in others)


def _leave(book: Book, fault: Fault) -> str:
    """The instruction to leave a device off until help comes; for an alarm, not to sleep in the van."""
    load = book.system.loads.get(fault.subject)
    watches = load is not None and (load.importance == "critical" or load.replace_by is not None)
    return tell("leave-alarm" if watches else f"leave.{fault.kind}", name=name_of(book, fault))


def _kind_of(causes: tuple[Cause, ...], last: tuple[str, str] | None) -> str:
    if not causes:
        return "hand-over"
    if last == (GATES, LOW):
        return "low"
    kinds, parts = {cause.kind for cause in causes}, {cause.part for cause in causes}
    if owner_repairs(causes):
        return "flat" if "flat" in kinds else causes[0].kind
    if kinds == {"shorted"}:  # of loads on one fuse
        return "shorted"
    if len(parts) > 1:
        return "more"
    return "stuck-closed" if kinds == {"stuck-closed"} else "one"


def _parts(book: Book, causes: tuple[Cause, ...]) -> Iterator[SuspectPart]:
    """Yield the parts of causes, most likely first, each with its possible faults."""
    weights: dict[str, float] = {}
    for cause in causes:
        weights[cause.part] = weights.get(cause.part, 0.0) + cause.weight
    for part in sorted(weights, key=lambda part: -weights[part]):
        kinds = tuple(dict.fromkeys(cause.kind for cause in causes if cause.part == part))
        place = place_of(book, part)
        yield SuspectPart(
            part_name(book, part),
            tell("or").join(dict.fromkeys(tell(f"trouble.{kind}") for kind in kinds)),
            book.where(place).label if place else "",
            part_ids(book, part),
            kinds,
        )
