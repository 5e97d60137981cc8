"""The pages of fault-finding: what do you see, a tree for each symptom, and the electrician's way on."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from vandoc.diagnosis.problem import Ask, Cause, Leaf
from vandoc.manual.book import Book
from vandoc.manual.page import Page
from vandoc.manual.text import TROUBLE, Trusted, say, tell, upper_first
from vandoc.manual.trouble.asked import Asked, Gallery, Look, asked, cause_words, part_name, place_of
from vandoc.manual.trouble.numbered import Numbered, entry, numbered
from vandoc.manual.trouble.symptoms import Choice, Fault, choice_of, faults, path_of, title_of
from vandoc.model import equipment as eq

GROUPS = {
    "stopped": ("stopped",),
    "dim": ("weak",),
    "still-on": ("still-on",),
    "charge": ("not-charging", "never-full"),
}
LIKELY = 3


@dataclass(frozen=True)
class Group:
    """Symptoms that are listed together."""

    ident: str
    title: str
    hint: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True)
class Way:
    """An answer with the step that it leads to, or with what it tells where that is the end."""

    words: str
    drawing: Trusted | None
    onward: int
    found: str = ""
    causes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Part:
    """A part that may be broken: its name, what may be the matter with it, and where it is."""

    name: str
    what: str
    where: str


@dataclass(frozen=True)
class End:
    """An end of the owner's tree.

    Attributes
    ----------
    kind : str
        As in the messages.
    title : str
    do : tuple of str
        One instruction each.
    likely, others : tuple of Part
        What is left, most likely first.
    alone : bool
        Whether a single part is left.
    look : Look or None
        Where the likely parts are.
    onward : str or None
        Where the electrician goes on.
    """

    kind: str
    title: str
    do: tuple[str, ...]
    likely: tuple[Part, ...] = ()
    others: tuple[Part, ...] = ()
    alone: bool = False
    look: Look | None = None
    onward: str | None = None


@dataclass(frozen=True)
class OwnerStep:
    """A step of the owner's page: a question, or an end."""

    number: int
    back: int | None
    asked: Asked | None
    answers: tuple[Way, ...]
    end: End | None


@dataclass(frozen=True)
class TracingStep:
    """A step of the electrician's page; without a question it is the only one."""

    number: int
    back: int | None
    asked: Asked | None
    answers: tuple[Way, ...]


def pages(book: Book) -> Iterator[Page]:
    """Yield the first screen, then the owner's and the electrician's page of each symptom."""
    found = faults(book)
    grouped = {kind for kinds in GROUPS.values() for kind in kinds}
    groups = [_group(book, ident, kinds) for ident, kinds in GROUPS.items()]
    view = {
        "whole": [choice_of(book, one) for one in found if one.kind not in grouped and one.kind != "light"],
        "groups": [group for group in groups if group.choices],
    }
    yield Page("trouble.md", "trouble/trouble", say("menu.trouble"), view)
    for one in found:
        yield _owner_page(book, one)
    for one in found:
        yield _electrician_page(book, one)


def _group(book: Book, ident: str, kinds: Collection[str]) -> Group:
    words = TROUBLE[f"group.{ident}"]
    choices = sorted(
        (choice_of(book, one) for one in faults(book) if one.kind in kinds),
        key=lambda one: one.title.casefold(),
    )
    return Group(ident, words["title"], words["hint"], tuple(choices))


def _owner_page(book: Book, fault: Fault) -> Page:
    title = title_of(book, fault)
    onward = numbered(fault.electrician.start, ends=False)
    gallery = Gallery(book)
    steps = [_owner_step(fault, title, one, onward, gallery) for one in numbered(fault.owner.start)]
    view = {
        "steps": steps,
        "given": tell(f"given.{fault.kind}"),
        "not_isolated": _is_not_isolated(book, fault),
        "drawings": gallery.drawings,
    }
    return Page(path_of(fault), "trouble/fault", title, view)


def _is_not_isolated(book: Book, fault: Fault) -> bool:
    """Whether an isolator does not do its work."""
    return fault.kind == "still-on" and fault.subject in book.pieces(eq.Isolator)


def _owner_step(
    fault: Fault, title: str, one: Numbered, onward: tuple[Numbered, ...], gallery: Gallery
) -> OwnerStep:
    if isinstance(one.step, Ask):
        words = asked(gallery.book, one.step.question, one.number, gallery)
        return OwnerStep(one.number, one.back, words, _ways(words, one), None)
    return OwnerStep(one.number, one.back, None, (), _end(fault, title, one, one.step, onward, gallery))


def _ways(words: Asked, one: Numbered) -> tuple[Way, ...]:
    onward = dict(one.onward)
    return tuple(Way(answer.words, answer.drawing, onward[answer.key]) for answer in words.answers)


def _end(
    fault: Fault, title: str, one: Numbered, leaf: Leaf, onward: tuple[Numbered, ...], gallery: Gallery
) -> End:
    kind = _kind_of(leaf, one.last)
    words = TROUBLE[f"end.{kind}"]
    do = tuple(line.format_map({"title": title, "number": one.number}) for line in words["do"])
    if kind in ("unknown", "fuse-swap", "charge"):
        return End(kind, words["title"], do)
    parts = list(_parts(gallery.book, leaf.causes))
    place = place_of(gallery.book, leaf.causes[0].part)
    step = entry(onward, {cause.id for cause in leaf.causes})
    return End(
        kind,
        words["title"],
        do,
        tuple(parts[:LIKELY]),
        tuple(parts[LIKELY:]),
        len(parts) == 1,
        gallery.plan(place) if place else None,
        f"{path_of(fault, 'electrician/fault')}#step-{step}",
    )


def _kind_of(leaf: Leaf, last: tuple[str, str] | None) -> str:
    if not leaf.causes:
        return "unknown"
    if last is not None and last[1] == "mended":
        return last[0]
    kinds = {cause.kind for cause in leaf.causes}
    if len(kinds) == 1 and (kinds & {"left-off", "left-on", "stuck-closed", "shorted"}):
        return leaf.causes[0].kind
    return "one" if len({cause.part for cause in leaf.causes}) == 1 else "more"


def _parts(book: Book, causes: tuple[Cause, ...]) -> Iterator[Part]:
    """The parts of some causes, the likeliest first; what may be the matter with each, once."""
    weights: dict[str, float] = {}
    for cause in causes:
        weights[cause.part] = weights.get(cause.part, 0.0) + cause.weight
    for part in sorted(weights, key=lambda part: -weights[part]):
        kinds = [cause.kind for cause in causes if cause.part == part]
        place = place_of(book, part)
        yield Part(
            part_name(book, part),
            tell("or").join(dict.fromkeys(tell(f"trouble.{kind}") for kind in kinds)),
            book.where(place).label if place else "",
        )


def _electrician_page(book: Book, fault: Fault) -> Page:
    tree = fault.electrician
    steps = numbered(tree.start, ends=False)
    leaves = {one.number: one.step for one in steps if isinstance(one.step, Leaf)}
    view = {
        "steps": [_tracing_step(book, one, leaves) for one in steps if one.number > 0],
        "effort": tree.effort,
        "walk": tree.walk,
        "exact": tree.exact,
        "owners": path_of(fault),
        "not_isolated": _is_not_isolated(book, fault),
        "traits": book.traits,
    }
    path = path_of(fault, "electrician/fault")
    return Page(path, "trouble/tracing", title_of(book, fault), view, searched=False)


def _tracing_step(book: Book, one: Numbered, leaves: dict[int, Leaf]) -> TracingStep:
    if isinstance(one.step, Leaf):
        return TracingStep(one.number, one.back, None, (_told(book, "", one.number, one.step),))
    words = asked(book, one.step.question, one.number)
    ways = [
        _told(book, way.words, way.onward, leaves[way.onward]) if way.onward in leaves else way
        for way in _ways(words, one)
    ]
    return TracingStep(one.number, one.back, words, tuple(ways))


def _told(book: Book, words: str, number: int, leaf: Leaf) -> Way:
    """An answer that ends the search."""
    causes = tuple(upper_first(cause_words(book, cause)) for cause in leaf.causes)
    found = "none" if not causes else "one" if len(causes) == 1 else "several"
    return Way(words, None, number, tell(f"found.{found}"), causes)
