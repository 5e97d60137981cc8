"""Wording of the ends of a fault tree: remaining causes, instructions, and the case of several faults."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis.diagnosis.gates import GATES, LOW
from vandoc.analysis.diagnosis.problem import Cause, EndNode
from vandoc.analysis.diagnosis.repairs import REPAIRED, causes_named
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import TROUBLE, tell
from vandoc.pages.manual.trouble.gate_text import gate_end
from vandoc.pages.manual.trouble.naming import part_ids, part_name, place_of
from vandoc.pages.manual.trouble.numbered import NumberedStep, entry
from vandoc.pages.manual.trouble.question_text import LocationView, PageDrawings, charging
from vandoc.pages.manual.trouble.symptoms import Fault, blamed_source, name_of, path_of, title_of

MAX_LIKELY = 3
REPAIRED_BY_OWNER = ("left-off", "left-on", "flat", "low")
"""Kinds of cause that the owner can correct."""


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
    calls : bool
        Whether it ends with a call for help.
    likely, others : tuple of SuspectPart
        Remaining parts, most likely first.
    alone : bool
        Whether a single part remains.
    look : LocationView or None
        Location of the likely parts.
    onward : str or None
        Address of the step at which the electrician continues.
    """

    kind: str
    title: str
    do: tuple[str, ...]
    calls: bool = False
    likely: tuple[SuspectPart, ...] = ()
    others: tuple[SuspectPart, ...] = ()
    alone: bool = False
    look: LocationView | None = None
    onward: str | None = None


def end_of(
    fault: Fault, title: str, one: NumberedStep, onward: tuple[NumberedStep, ...], gallery: PageDrawings
) -> End:
    """Return an end of the owner's tree.

    Parameters
    ----------
    fault : Fault
    title : str
        Title of the page.
    one : NumberedStep
        The last step of the owner's tree.
    onward : tuple of NumberedStep
        The steps of the electrician's tree.
    gallery : PageDrawings
        Collects the drawings of the page.
    """
    causes = causes_named(one.step)
    values = {"title": title, "number": str(one.number), "leave": _leave(gallery.book, fault)}
    if isinstance(one.step, EndNode) and one.step.kind:
        return _no_fault(gallery.book, one.step.kind, values)
    repaired = one.last is not None and one.last[1] == REPAIRED
    kind = one.last[0] if one.last and repaired else _kind_of(causes, one.last)
    words = TROUBLE[f"end.{kind}"]
    values["charging"] = charging(gallery.book, blamed_source(gallery.book, fault))
    do = tuple(line.format_map(values) for line in words["do"])
    if repaired or not causes:
        return End(kind, words["title"], do, calls=not repaired)
    parts = list(_parts(gallery.book, causes))
    place = place_of(gallery.book, causes[0].part)
    step = entry(onward, {cause.id for cause in causes})
    return End(
        kind,
        words["title"],
        do,
        kind not in REPAIRED_BY_OWNER,
        tuple(parts[:MAX_LIKELY]),
        tuple(parts[MAX_LIKELY:]),
        len(parts) == 1,
        gallery.plan(place) if place else None,
        f"{path_of(fault, 'electrician/fault')}#step-{step}" if kind not in REPAIRED_BY_OWNER else None,
    )


def _no_fault(book: Book, answer: str, values: dict[str, str]) -> End:
    title, do = gate_end(book, answer, values)
    return End(f"nothing.{answer}", title, do, True)


def tracing_end(book: Book, fault: Fault, step: EndNode) -> End:
    """Return an end of the electrician's tree: no fault of the wiring, or more than one."""
    if step.kind:
        return _no_fault(book, step.kind, {"title": title_of(book, fault), "leave": _leave(book, fault)})
    words = TROUBLE["found.more"]
    values = {"leave": _leave(book, fault)}
    return End("more", words["title"], tuple(line.format_map(values) for line in words["do"]), True)


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
    if kinds == {"shorted"}:  # of loads on one fuse
        return "shorted"
    if len(parts) > 1:
        return "more"
    return causes[0].kind if len(kinds) == 1 and kinds <= {*REPAIRED_BY_OWNER, "stuck-closed"} else "one"


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
