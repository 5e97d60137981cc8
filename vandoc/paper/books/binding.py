"""Binding of chapters, with cover and contents, into one PDF."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from html import unescape
from typing import Any
from xml.etree import ElementTree as ET

from markupsafe import Markup

from vandoc.ground.figures import day
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.imprint import last_day, spoken_note
from vandoc.pages.manual.pages import Pages
from vandoc.paper.books.content import Drawings, chapter, chapter_id, widest_px, without_dead_ends
from vandoc.paper.pdf import FAMILY, to_pdf
from vandoc.paper.words import HERE, environment, say

BOOKS = ("owner", "electrician")
ELECTRICIAN = "electrician/"
TREES = "electrician/fault/"  # each is printed from its own page, on demand
SIZES = {"owner": ("A5", "15mm 13mm 17mm"), "electrician": ("A4", "16mm 15mm 18mm")}
FOLDED_PX = 680.0  # 180 mm, the usable width of an A4 page


@dataclass(frozen=True)
class Entry:
    """Line of the contents: a page, or a part that contains pages; `depth` counts from 0."""

    title: str
    path: str | None
    depth: int


def print_book(book: Book, pages: Pages, which: str, *, draft: bool = False) -> bytes:
    """Return one of the books of a van as PDF.

    Parameters
    ----------
    book : Book
        The checked van.
    pages : Pages
        Its manual.
    which : {"owner", "electrician"}
        The owner's book is A5; the electrician's A4, with its drawings on fold-out A3.
    draft : bool
        Whether each page must state that checks fail.

    Raises
    ------
    VandocError
        If the PDF library is missing.
    """
    entries = _entries(pages, which)
    paths = frozenset(entry.path for entry in entries if entry.path)
    drawings = Drawings()
    chapters = {
        entry.path: chapter(entry.path, pages.files, paths, drawings) for entry in entries if entry.path
    }
    without_dead_ends(chapters)
    last = last_day(book.system)
    logo = book.logo
    picture = pages.files[logo.path] if logo is not None else None
    html = (
        environment()
        .get_template("book.html.j2")
        .render(
            which=which,
            van=book.system.van,
            revision=book.revision_in_print,
            contact=book.contact,
            logo=logo,
            logo_source=drawings.add(picture, logo.path.rpartition(".")[2])
            if logo is not None and isinstance(picture, bytes)
            else None,
            date=last.isoformat() if last else None,
            day=day(last) if last else None,
            draft=draft,
            documented=book.system.documented is not None,
            spoken=spoken_note(),
            entries=entries,
            chapters=[
                (entry, _html(found), _folds_out(entry.path, found))
                for entry in entries
                if entry.path and (found := chapters[entry.path]) is not None
            ],
            chapter_id=chapter_id,
            style=Markup(_style(which)),
        )
    )
    return to_pdf(html, drawings.files, f"{book.system.van.name} {which} {book.revision_in_print}")


def _style(which: str) -> str:
    style = (HERE / "templates" / "book.css").read_text("utf-8")
    size, margins = SIZES[which]
    words = {
        "SIZE": size,
        "MARGINS": margins,
        "FAMILY": FAMILY,
        "PAGE": say("book.page"),
        "ELSEWHERE": say(f"book.{which}.elsewhere"),
    }
    for key, value in words.items():
        style = style.replace(key, value)
    return style


def _html(found: ET.Element) -> Markup:
    return Markup("".join(ET.tostring(child, encoding="unicode", method="html") for child in found))


def _folds_out(path: str, found: ET.Element) -> bool:
    """Whether a page is a drawing too large for A4."""
    return path.startswith(f"{ELECTRICIAN}diagram") and widest_px(found) > FOLDED_PX


def _entries(pages: Pages, which: str) -> list[Entry]:
    """Return the contents of a book, from the navigation of the manual."""
    titles = {path: _title(str(content)) for path, content in pages.files.items() if path.endswith(".md")}

    def walk(items: list[Any], depth: int) -> Iterator[Entry]:
        for item in items:
            if isinstance(item, str):
                if item.startswith(ELECTRICIAN) == (which == "electrician") and not item.startswith(TREES):
                    yield Entry(titles[item], item, depth)
                continue
            for title, members in item.items():
                inside = list(walk(members, depth + 1))
                if not inside:
                    continue
                first = inside[0]
                if first.path and first.title == unescape(title):
                    yield Entry(first.title, first.path, depth)
                    yield from inside[1:]
                else:
                    yield Entry(unescape(title), None, depth)
                    yield from inside

    found = list(walk(pages.navigation, 0))
    if which == "electrician" and found and found[0].depth == 0:
        # Its pages are one part of the manual; in its own book they are the whole contents.
        found = [Entry(entry.title, entry.path, max(entry.depth - 1, 0)) for entry in found]
    return found


def _title(source: str) -> str:
    line = source.splitlines()[1]
    return unescape(str(json.loads(line.removeprefix("title: "))))
