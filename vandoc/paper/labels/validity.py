"""The revision since which each label says what it says."""

from collections import Counter
from collections.abc import Callable

from vandoc.ground.errors import VandocError
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.since import archived
from vandoc.paper.labels.label import Label
from vandoc.paper.words import say


def valid_since(
    book: Book, make: Callable[[Book], list[Label]], since: str | None = None
) -> list[tuple[Label, str]]:
    """Return the labels of a van, each with the revision from which on every revision has it.

    Parameters
    ----------
    book : Book
    make : callable
        Returns the labels of a book, without their foot.
    since : str, optional
        Mark or number of an archived revision; labels that it has are left out.

    Raises
    ------
    VandocError
        If there is no such revision, or it can no longer be read.
    """
    made, found, fresh = make(book), dict[int, str](), list[int]()
    earlier = list(archived(book).items())
    chosen = None if since is None else _chosen(since, [mark for mark, _ in earlier])
    open_ones = set(range(len(made)))
    for mark, van in reversed(earlier):
        if not open_ones and chosen is None:
            break
        has = Counter(make(Book(van))) if van is not None else Counter[Label]()
        if mark == chosen:
            if van is None:
                raise VandocError(say("labels.unreadable", revision=since))
            known, chosen = has, None
            fresh = [index for index, label in enumerate(made) if not _taken(known, label)]
        held = {index for index in sorted(open_ones) if _taken(has, made[index])}
        found |= dict.fromkeys(held, mark)
        open_ones = held
    wanted = range(len(made)) if since is None else fresh
    return [(made[index], found.get(index, book.revision_in_print)) for index in wanted]


def _taken(labels: Counter[Label], label: Label) -> bool:
    """Take a label out of those of a revision, and return whether it was there."""
    if not labels[label]:
        return False
    labels[label] -= 1
    return True


def _chosen(since: str, marks: list[str]) -> str:
    for mark in marks:
        if since in (mark, mark.partition("-")[0]):
            return mark
    raise VandocError(say("labels.no_revision", revision=since, known=", ".join(marks) or say("labels.none")))
