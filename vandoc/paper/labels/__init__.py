"""Labels at full size, with pages to check their scale and to list what did not fit."""

from dataclasses import dataclass

from vandoc.pages.manual.book import Book
from vandoc.paper.labels.content import Label, labels
from vandoc.paper.labels.fitting import SMALLEST_PT, TypesetLabel, set_label, set_on_tape
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


def print_labels(book: Book, sheet: Sheet, *, draft: bool = False) -> Labels:
    """Return the labels of a van for a label sheet or tape.

    A sheet gives one file. A tape gives two: the tape itself, and an A4 file with the codes and the notes.

    Raises
    ------
    VandocError
        If the PDF library is missing.
    """
    made = [one for label in labels(book, draft=draft) for one in _set(label, sheet)]
    shown = codes(book)
    files = {"labels.pdf": _pdf(book, sheet, made, shown)}
    if sheet.tape:
        html, parts = tape_document(book, sheet, made)
        files[f"labels-{sheet.name}.pdf"] = to_pdf(html, parts, f"{book.system.van.name} {sheet.name}")
    return Labels(files, tuple(_notices(made)))


def _pdf(book: Book, sheet: Sheet, made: list[TypesetLabel], shown: Codes) -> bytes:
    html, parts = sheet_document(book, sheet, made, pages_of(made, sheet), shown)
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
