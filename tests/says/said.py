"""What a van's manual, card, labels and books say, as blocks of words: a caution, a step or a line each."""

import re
from collections.abc import Callable, Iterator, Mapping
from html import unescape
from unittest.mock import patch

from vandoc.analysis import Van
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.pages import Pages
from vandoc.paper.books import binding
from vandoc.paper.books.content import chapter_id
from vandoc.paper.labels.content import labels

PANEL = re.compile(r'<div class="signal.*?</div>', re.DOTALL)
HIDDEN = re.compile(r"<(svg|style|script)\b.*?</\1>|^---\n.*?\n---\n", re.DOTALL)
ENDS = re.compile(r"\n|</(?:li|p|dd|dt|td|h\d|summary|option|tr|div)>")
TAG = re.compile(r"<[^>]*>")
CHAPTER = re.compile(r"(?=<section[^>]*class=\"chapter)")
ANCHOR = re.compile(r"<section[^>]*\bid=\"([^\"]+)\"")

Said = Mapping[str, list[str]]


def blocks(text: str) -> list[str]:
    """Return the blocks of a page in small letters: each caution as a whole, each other line by itself."""
    seen = HIDDEN.sub(" ", text)
    panels = PANEL.findall(seen)
    lines = [*panels, *ENDS.split(PANEL.sub("\n", seen))]
    found = (" ".join(unescape(TAG.sub(" ", line)).split()).casefold() for line in lines)
    return [line for line in found if line]


def pages_said(pages: Pages) -> dict[str, list[str]]:
    """Return the blocks of each page, and of the card."""
    made = {path: str(text) for path, text in pages.files.items() if path.endswith((".md", "card.html"))}
    return {path.replace("card.html", "card"): blocks(text) for path, text in made.items()}


def labels_said(van: Van) -> dict[str, list[str]]:
    """Return the labels of a van, each as a block."""
    made = labels(Book(van), draft=False)
    return {
        "labels": [
            " ".join([one.title, *(line.text for line in one.lines)]).casefold()
            for one in made
            if one.kind != "cable"
        ]
    }


def book_said(van: Van, pages: Pages, which: str) -> dict[str, list[str]]:
    """Return the blocks of each chapter of a printed book, as it is handed to what makes the PDF, by page."""
    kept: list[str] = []

    def keep(html: str, *_: object) -> bytes:
        kept.append(html)
        return b""

    with patch.object(binding, "to_pdf", keep):
        binding.print_book(Book(van), pages, which)
    paths = {chapter_id(path): path for path in pages.files if path.endswith(".md")}
    chapters = (part for part in CHAPTER.split(kept[0]) if part.startswith("<section"))
    found = ((ANCHOR.match(part), part) for part in chapters)
    return {paths[anchor[1]]: blocks(part) for anchor, part in found if anchor}


def matches(text: str) -> Callable[[str], bool]:
    """Return what tells whether a block says a text of the table: all its parts, in any order."""
    parts = [re.compile(part) for part in text.casefold().split(" + ")]
    return lambda block: all(part.search(block) for part in parts)


def found_on(places: Iterator[str] | list[str], said: Said, text: str) -> list[str]:
    """Return the places that say a text."""
    told = matches(text)
    return [place for place in places if any(told(block) for block in said[place])]
