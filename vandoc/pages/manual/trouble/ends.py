"""The ends of a tree in words: what is left, what to do, and when more than one thing may be wrong."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis.diagnosis.mending import MENDED, named
from vandoc.analysis.diagnosis.problem import Cause
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import TROUBLE, tell
from vandoc.pages.manual.trouble.asked import LocationView, PageDrawings
from vandoc.pages.manual.trouble.naming import part_name, place_of
from vandoc.pages.manual.trouble.numbered import NumberedStep, entry
from vandoc.pages.manual.trouble.symptoms import Fault, name_of, path_of

LIKELY = 3
BY_OWNER = ("left-off", "left-on", "flat")
"""What an owner puts right."""


@dataclass(frozen=True)
class SuspectPart:
    """A part that may be broken: its name, what may be the matter with it, and where it is."""

    name: str
    what: str
    where: str


@dataclass(frozen=True)
class End:
    """An end of a tree.

    Attributes
    ----------
    kind : str
        As in the messages.
    title : str
    do : tuple of str
        One instruction each.
    calls : bool
        Whether it ends with a call.
    likely, others : tuple of SuspectPart
        What is left, most likely first.
    alone : bool
        Whether a single part is left.
    look : LocationView or None
        Where the likely parts are.
    onward : str or None
        Where the electrician goes on.
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
        Of the page.
    one : NumberedStep
        The step.
    onward : tuple of NumberedStep
        The electrician's tree.
    gallery : PageDrawings
        Takes the drawings.
    """
    causes = named(one.step)
    mended = one.last is not None and one.last[1] == MENDED
    kind = one.last[0] if one.last and mended else _kind_of(causes)
    words = TROUBLE[f"end.{kind}"]
    values = {"title": title, "number": one.number, "leave": _leave(gallery.book, fault)}
    do = tuple(line.format_map(values) for line in words["do"])
    if mended or not causes:
        return End(kind, words["title"], do, calls=not mended)
    parts = list(_parts(gallery.book, causes))
    place = place_of(gallery.book, causes[0].part)
    step = entry(onward, {cause.id for cause in causes})
    return End(
        kind,
        words["title"],
        do,
        kind not in BY_OWNER,
        tuple(parts[:LIKELY]),
        tuple(parts[LIKELY:]),
        len(parts) == 1,
        gallery.plan(place) if place else None,
        f"{path_of(fault, 'electrician/fault')}#step-{step}" if kind not in BY_OWNER else None,
    )


def tracing_end(book: Book, fault: Fault) -> End:
    """Return the end of the electrician's tree where more than one thing may be wrong."""
    words = TROUBLE["found.more"]
    values = {"leave": _leave(book, fault)}
    return End("more", words["title"], tuple(line.format_map(values) for line in words["do"]), True)


def _leave(book: Book, fault: Fault) -> str:
    """What stays off until help comes; an alarm that is off wakes nobody."""
    load = book.system.loads.get(fault.subject)
    watches = load is not None and (load.importance == "critical" or load.replace_by is not None)
    return tell("leave-alarm" if watches else f"leave.{fault.kind}", name=name_of(book, fault))


def _kind_of(causes: tuple[Cause, ...]) -> str:
    if not causes:
        return "hand-over"
    kinds, parts = {cause.kind for cause in causes}, {cause.part for cause in causes}
    if kinds == {"shorted"}:  # of loads on one fuse
        return "shorted"
    if len(parts) > 1:
        return "more"
    return causes[0].kind if len(kinds) == 1 and kinds <= {*BY_OWNER, "stuck-closed"} else "one"


def _parts(book: Book, causes: tuple[Cause, ...]) -> Iterator[SuspectPart]:
    """The parts of some causes, the likeliest first; what may be the matter with each, once."""
    weights: dict[str, float] = {}
    for cause in causes:
        weights[cause.part] = weights.get(cause.part, 0.0) + cause.weight
    for part in sorted(weights, key=lambda part: -weights[part]):
        kinds = [cause.kind for cause in causes if cause.part == part]
        place = place_of(book, part)
        yield SuspectPart(
            part_name(book, part),
            tell("or").join(dict.fromkeys(tell(f"trouble.{kind}") for kind in kinds)),
            book.where(place).label if place else "",
        )
