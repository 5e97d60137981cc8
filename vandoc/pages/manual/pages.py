"""Assembly of a manual from an analysed van: Markdown pages, drawings and navigation."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from vandoc.analysis import Van
from vandoc.ground.figures import day
from vandoc.ground.speech import language
from vandoc.pages.manual import asked, lists
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician import (
    energy,
    faults,
    findings,
    handover,
    history,
    pieces,
    sheets,
    states,
    summary,
    wiring,
)
from vandoc.pages.manual.imprint import last_day, phone_href, spoken_note
from vandoc.pages.manual.no_signal import card, code, offline
from vandoc.pages.manual.owner import charge, fuses, lights, safety, start, tonight, upkeep
from vandoc.pages.manual.page import Page, render
from vandoc.pages.manual.text import WORDS, escape_title, macro, say
from vandoc.pages.manual.trouble import pages as trouble

LISTS = (
    "circuits",
    "cables",
    "cutting",
    "parts",
    "spares",
    "states",
    "faults",
    "energy",
    "findings",
    "rules",
    "measure",
    "places",
    "mains",
    "handover",
    "records",
    "trends",
    "changes",
)


@dataclass(frozen=True)
class Pages:
    """A complete manual.

    Attributes
    ----------
    files : dict of str to str or bytes
        Markdown pages, drawings and pictures by their path.
    navigation : list
        Paths in reading order; a section is ``{title: [paths and sections]}``. Titles are HTML.
    title : str
        Title of the manual, as HTML.
    extra : dict
        Data for the page frame: name, workshop, phone, phone_href, logo, logo_alt, revision, date, spoken,
        copy_note, saved_line, each as HTML, and its texts under ``frame``.
    extra_title : str
        Title of the section of pages written by the workshop, as HTML.
    language : str
        ISO 639-1.
    """

    files: dict[str, str | bytes]
    navigation: list[Any]
    title: str
    extra: dict[str, Any]
    extra_title: str
    language: str


def build_pages(van: Van) -> Pages:
    """Make every page and drawing of the manual of a van.

    Raises
    ------
    VandocError
        If the layout program for the single-line diagram is not installed.
    """
    book = Book(van)
    pages = list(_pages(book))
    shared = {
        "contact": book.contact,
        "texts": book.system.texts,
        "guess": book.guess,
        "unknown": len(book.van.unknown),
    }
    files: dict[str, str | bytes] = {page.path: render(page, **shared) for page in pages}
    files |= asked.file(book, pages)
    files |= code.files(book)
    files |= card.file(book)
    files |= lists.files(book)
    files |= upkeep.files(book)
    files |= offline.files(book)
    files |= book.pictures()
    return Pages(
        files=dict(sorted(files.items())),
        navigation=_navigation(pages),
        title=escape_title(book.system.van.name),
        extra={
            **_imprint(book),
            "documented": book.system.documented is not None,
            "copy_note": macro("copy_note")(),
            "saved_line": macro("saved_line")(card.version(book)),
            "frame": WORDS["frame"],
        },
        extra_title=say("menu.extra"),
        language=language(),
    )


def _imprint(book: Book) -> dict[str, str]:
    """Return the details of the van and the workshop for the page frame, as HTML."""
    system = book.system
    last = last_day(system)
    shown = {
        "name": system.van.name,
        "workshop": system.workshop.name,
        "phone": system.workshop.phone,
        "phone_href": phone_href(system.workshop.phone),
        "logo": book.logo.path if book.logo else None,
        "logo_alt": book.logo.alt if book.logo else None,
        "revision": book.revision,
        "date": day(last) if last else None,
        "spoken": spoken_note(),
    }
    return {key: escape_title(value) for key, value in shown.items() if value}


def _pages(book: Book) -> Iterator[Page]:
    yield from start.pages(book)
    yield from safety.pages(book)
    yield from trouble.pages(book)
    yield from fuses.pages(book)
    yield from lights.pages(book)
    yield from charge.pages(book)
    yield from tonight.pages(book)
    yield from upkeep.pages(book)
    yield from code.pages(book)
    yield from summary.pages(book)
    yield from wiring.pages(book)
    yield from lists.pages(book)
    yield from states.pages(book)
    yield from faults.pages(book)
    yield from energy.pages(book)
    yield from sheets.pages(book)
    yield from pieces.pages(book)
    yield from findings.pages(book)
    yield from handover.pages(book)
    yield from history.pages(book)


def _navigation(pages: Iterable[Page]) -> list[Any]:
    paths = [page.path for page in pages]

    def section(key: str, *members: str | dict[str, list[Any]]) -> dict[str, list[Any]]:
        return {say(f"menu.{key}"): list(members)}

    def under(folder: str) -> list[str]:
        return [path for path in paths if path.startswith(folder)]

    return [
        "index.md",
        section("safe", "safe.md", "emergency.md", "rescue.md"),
        section("trouble", "trouble.md", *under("fault/")),
        section("stopped", "stopped.md", *under("fuse/")),
        "lights.md",
        section(
            "care",
            "care.md",
            "battery.md",
            "charging.md",
            "tonight.md",
            "service.md",
            "winter.md",
            "garage.md",
            "breakdown.md",
            "cautions.md",
            "code.md",
        ),
        section(
            "electrician",
            "electrician/index.md",
            section("diagram", "electrician/diagram.md", *under("electrician/diagram-")),
            section("equipment", "electrician/equipment.md", *under("electrician/piece/")),
            section("tracing", "electrician/tracing.md", *under("electrician/fault/")),
            *(path for name in LISTS if (path := f"electrician/{name}.md") in paths),
        ),
    ]
