"""Labels at full size, with pages to check their scale and to list what did not fit."""

from dataclasses import dataclass

from vandoc.ground.errors import VandocError
from vandoc.pages.manual.book import Book
from vandoc.paper.labels.content import labels
from vandoc.paper.labels.fitting import SMALLEST_PT, TypesetLabel, set_label, set_on_tape
from vandoc.paper.labels.label import Label
from vandoc.paper.labels.layout import Codes, codes, pages_of, sheet_document, tape_document
from vandoc.paper.labels.sheets import Sheet, sheets
from vandoc.paper.pdf import to_pdf
from vandoc.paper.words import say

__all__ = ["Labels", "print_labels", "sheets"]


@dataclass(frozen=True)
class Labels:
    """Printed labels: files by name, and notes for the person who prints them, one on each line."""

    files: dict[str, bytes]
    notices: tuple[str, ...]


def print_labels(
    book: Book, sheet: Sheet, *, draft: bool = False, since: str | None = None, first: int = 1
) -> Labels:
    """Return the labels of a van for a label sheet or tape.

    A sheet gives one file. A tape gives two: the tape itself, and an A4 file with the codes and the notes.

    Parameters
    ----------
    book : Book
    sheet : Sheet
    draft : bool
    since : str, optional
        Mark or number of an archived revision; only labels that it did not have.
    first : int
        Number of the first free label on the first sheet, from 1: across, then down.

    Raises
    ------
    VandocError
        If the PDF library is missing, there is no such revision, or the sheet has no such label.
    """
    if not 1 <= first <= (1 if sheet.tape else sheet.columns * sheet.rows):
        raise VandocError(say("labels.no_spot", number=first, sheet=sheet.name))
    made = [one for label in labels(book, draft=draft, since=since) for one in _set(label, sheet)]
    shown = codes(book)
    files = {"labels.pdf": _pdf(book, sheet, made, shown, first)}
    if sheet.tape:
        html, parts = tape_document(book, sheet, made)
        files[f"labels-{sheet.name}.pdf"] = to_pdf(html, parts, f"{book.system.van.name} {sheet.name}")
    return Labels(files, tuple(_notices(made)))


def _pdf(book: Book, sheet: Sheet, made: list[TypesetLabel], shown: Codes, first: int) -> bytes:
    html, parts = sheet_document(book, sheet, made, pages_of(made, sheet, first), shown)
    return to_pdf(html, parts, say("document.labels", van=book.system.van.name))


def _set(label: Label, sheet: Sheet) -> list[TypesetLabel]:
    if sheet.tape or sheet.label_width_mm is None:
        return set_on_tape(label, sheet.label_height_mm, sheet.padding_mm)
    return set_label(label, sheet.label_width_mm, sheet.label_height_mm, sheet.padding_mm)


def _notices(made: list[TypesetLabel]) -> list[str]:
    found = []
    for one in made:
        name = say("labels.misfit", kind=say(f"labels.kind.{one.label.kind}"), title=one.label.title)
        if not one.fits:
            found.append(say("labels.notice_misfit", label=name, smallest=f"{SMALLEST_PT:g}"))
        if one.foreign:
            found.append(say("labels.notice_foreign", label=name))
    return list(dict.fromkeys(found))
