"""Fault-finding pages: the choice of symptom, and the owner's and electrician's tree for each."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from vandoc.analysis.diagnosis.confirming import UNCONFIRMED
from vandoc.analysis.diagnosis.problem import Cause, EndNode, QuestionNode
from vandoc.analysis.diagnosis.repairs import NO_CHANGE, causes_named, end_named
from vandoc.analysis.diagnosis.trial import Trial
from vandoc.ground.data import constant
from vandoc.ground.figures import stated
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import TROUBLE, Markup, say, tell, upper_first
from vandoc.pages.manual.trouble.ends import End, end_of, tracing_end
from vandoc.pages.manual.trouble.learnt import Known, known_at
from vandoc.pages.manual.trouble.naming import cause_words, key, part_ids, place_of, spot_of
from vandoc.pages.manual.trouble.numbered import NumberedStep, numbered
from vandoc.pages.manual.trouble.question_text import (
    MEASURED,
    OBSERVED,
    RESISTANCE,
    LocationView,
    PageDrawings,
    QuestionView,
    question_view,
)
from vandoc.pages.manual.trouble.symptoms import (
    Fault,
    SymptomRow,
    blamed_source,
    choice_of,
    faults,
    path_of,
    title_of,
)

NOTICED = {
    "dead": ("all-dead",),
    "half-dead": ("half-dead",),
    "stopped": ("stopped",),
    "weak": ("weak", "slow"),
    "cuts-out": ("cuts-out",),
    "flat-fast": ("flat-fast",),
    "never-full": ("never-full",),
    "charge": ("not-charging",),
    "starter": ("starter-flat",),
    "still-on": ("still-on", "still-charging"),
}
"""Kinds of symptom by what people notice, in the order of the first screen."""
FOLDED = frozenset({"stopped", "weak", "still-on"})
"""What people notice of one of many devices: chosen from a list of its own."""

TRACING = "electrician/fault"
"""Folder of the electrician's trees."""


@dataclass(frozen=True)
class Group:
    """Symptoms by what people notice; with a list of their own if `folded`."""

    ident: str
    title: str
    hint: str
    choices: tuple[SymptomRow, ...]
    folded: bool


@dataclass(frozen=True)
class FoundCause:
    """A cause found by an electrician, with its location and remedy."""

    words: str
    where: PlaceView | None
    repair: str
    kind: str
    part: str
    spot: str


@dataclass(frozen=True)
class AnswerLink:
    """An answer with the number of the next step, or with the causes found if it is the last.

    Its key is empty if its words state the limits of a reading.
    """

    key: str
    words: str
    drawing: Markup | None
    onward: int
    found: str = ""
    causes: tuple[FoundCause, ...] = ()


@dataclass(frozen=True)
class OwnerStep:
    """A step of the owner's page: a question, or an end after which `then` asks if the repair helped."""

    number: int
    back: int | None
    asked: QuestionView | None
    answers: tuple[AnswerLink, ...]
    end: End | None
    then: str = ""

    @property
    def looks(self) -> tuple[LocationView, ...]:
        """The locations to check."""
        if self.asked is not None:
            return self.asked.looks
        return (self.end.look,) if self.end and self.end.look else ()


@dataclass(frozen=True)
class TracingStep:
    """A step of the electrician's page; without a question it is the only step or an end.

    Attributes
    ----------
    after : int
        The next step if a repair named here does not help; 0 if none is named.
    """

    number: int
    back: int | None
    asked: QuestionView | None
    answers: tuple[AnswerLink, ...]
    after: int = 0
    end: End | None = None


def pages(book: Book) -> Iterator[Page]:
    """Yield the owner's and the electrician's page of symptoms, then both pages of each symptom."""
    found = faults(book)
    groups = [_group(book, ident, kinds) for ident, kinds in NOTICED.items()]
    view = {"groups": [group for group in groups if group.choices], "swollen": book.burning}
    yield Page("trouble.md", "trouble/trouble", say("menu.trouble"), view)
    traced = _by_title(choice_of(book, one, TRACING) for one in found)
    view = {"choices": traced}
    yield Page("electrician/tracing.md", "trouble/symptoms", say("menu.tracing"), view, searched=False)
    for one in found:
        yield _owner_page(book, one)
    for one in found:
        yield _electrician_page(book, one)


def _group(book: Book, ident: str, kinds: Collection[str]) -> Group:
    words = TROUBLE[f"group.{ident}"]
    choices = _by_title(choice_of(book, one) for one in faults(book) if one.kind in kinds)
    return Group(ident, words["title"], words["hint"], choices, ident in FOLDED)


def _by_title(rows: Iterable[SymptomRow]) -> tuple[SymptomRow, ...]:
    return tuple(sorted(rows, key=lambda one: one.title.casefold()))


def _owner_page(book: Book, fault: Fault) -> Page:
    title = title_of(book, fault)
    onward = numbered(fault.electrician.start, ends=False)
    gallery = PageDrawings(book)
    own = numbered(fault.owner.start)
    during, known = _tells_during(own), known_at(own)
    steps = [_owner_step(fault, one, known[one.number], onward, gallery, during) for one in own]
    view = {
        "steps": steps,
        "given": tell(f"given.{'not-isolated' if _is_not_isolated(book, fault) else fault.kind}"),
        "not_isolated": _is_not_isolated(book, fault),
        "drawings": gallery.drawings,
    }
    return Page(path_of(fault), "trouble/fault", title, view, listed=False)


def _is_not_isolated(book: Book, fault: Fault) -> bool:
    """Whether the symptom is that circuits stay live with a battery isolator open."""
    return fault.kind == "still-on" and fault.subject in book.isolators


def _owner_step(
    fault: Fault,
    one: NumberedStep,
    known: Known,
    onward: tuple[NumberedStep, ...],
    gallery: PageDrawings,
    during: bool,
) -> OwnerStep:
    if isinstance(one.step, QuestionNode) and not causes_named(one.step):
        blamed = blamed_source(gallery.book, fault)
        words = question_view(gallery.book, one.step.question, one.number, gallery, during, blamed)
        return OwnerStep(one.number, one.back, words, _ways(words, one), None)
    then = tell(f"then.{fault.kind}") if one.onward else ""
    ways = tuple(
        AnswerLink(answer, tell(f"answer.repair.{key(answer)}"), None, after) for answer, after in one.onward
    )
    return OwnerStep(one.number, one.back, None, ways, end_of(fault, one, known, onward, gallery), then)


def _tells_during(steps: Iterable[NumberedStep]) -> bool:
    """Whether a check takes place outside normal use: each such step then states the operating state."""
    questions = (one.step.question for one in steps if isinstance(one.step, QuestionNode))
    return any(
        question.kind in OBSERVED and question.during != Trial.USE.doing.value for question in questions
    )


def _ways(words: QuestionView, one: NumberedStep) -> tuple[AnswerLink, ...]:
    onward = dict(one.onward)
    is_read = words.kind in MEASURED and words.kind not in RESISTANCE
    return tuple(
        AnswerLink("" if is_read else answer.key, answer.words, answer.drawing, onward[answer.key])
        for answer in words.answers
    )


def _electrician_page(book: Book, fault: Fault) -> Page:
    tree = fault.electrician
    steps = {one.number: one for one in numbered(tree.start, ends=False)}
    title, limit = title_of(book, fault), stated(constant("continuity").value, "Ω")
    during = _tells_during(steps.values())
    view = {
        "steps": [_tracing_step(book, fault, one, steps, during) for one in steps.values() if one.number > 0],
        "effort": tree.effort,
        "walk": tree.walk,
        "exact": tree.exact,
        "owners": path_of(fault),
        "still": tell("found.onward"),
        "not_isolated": _is_not_isolated(book, fault),
        "proof_lamp": any(
            isinstance(one.step, QuestionNode) and one.step.question.lamps for one in steps.values()
        ),
        "sound": tell("sound", limit=limit) if fault.kind in NOTICED["still-on"] else "",
        "traits": book.traits,
    }
    return Page(path_of(fault, TRACING), "trouble/tracing", title, view, searched=False, listed=False)


def _tracing_step(
    book: Book, fault: Fault, one: NumberedStep, steps: dict[int, NumberedStep], during: bool
) -> TracingStep:
    if causes_named(one.step):
        return TracingStep(one.number, one.back, None, (_answer_with_causes(book, "", "", one),), _after(one))
    if isinstance(one.step, EndNode):
        return TracingStep(one.number, one.back, None, (), 0, tracing_end(book, fault, one))
    words = question_view(
        book, one.step.question, one.number, during=during, blamed=blamed_source(book, fault)
    )
    ways = [
        way if way.onward > 0 else _answer_with_causes(book, way.key, way.words, steps[way.onward])
        for way in _ways(words, one)
    ]
    after = max((_after(steps[number]) for _, number in one.onward if number < 0), default=0)
    return TracingStep(one.number, one.back, words, tuple(ways), after)


def _after(one: NumberedStep) -> int:
    """The next step if a repair does not help; 0 if that was asked before."""
    return dict(one.onward).get(NO_CHANGE, 0)


def _answer_with_causes(book: Book, answer: str, words: str, one: NumberedStep) -> AnswerLink:
    """Return an answer with the causes that it identifies."""
    causes = tuple(_found(book, cause) for cause in causes_named(one.step))
    end = end_named(one.step)
    unsure = end is not None and end.kind == UNCONFIRMED
    found = tell("found.unconfirmed" if unsure else "found.one" if len(causes) == 1 else "found.several")
    return AnswerLink(answer, words, None, one.number, found, causes)


def _found(book: Book, cause: Cause) -> FoundCause:
    place = place_of(book, spot_of(cause) or cause.part)
    words = upper_first(cause_words(book, cause))
    return FoundCause(
        words,
        book.where(place) if place else None,
        tell(f"repair.{cause.kind}"),
        cause.kind,
        part_ids(book, cause.part),
        spot_of(cause) or "",
    )
