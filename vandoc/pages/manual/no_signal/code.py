"""QR codes for the van's door: one opens the manual's card, the others need no network."""

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from urllib.parse import urlsplit, urlunsplit

import segno

from vandoc.ground.figures import stated
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.no_signal.card import PATH as CARD
from vandoc.pages.manual.no_signal.pocket import PRINT_MM, QUIET_ZONE, pockets
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import Markup, say

PNG_SCALE = 8  # pixels per module: at least 300 per inch when printed 50 mm wide


@dataclass(frozen=True)
class OfflineCode:
    """A QR code that needs no network, ready for display."""

    title: str
    drawing: Markup
    lines: tuple[str, ...]
    svg: str
    png: str


def pages(book: Book) -> Iterator[Page]:
    """Yield the page with the codes."""
    card, offline = card_code(book), pockets(book)
    view: dict[str, object] = {
        "address": card_address(book.system.van.published, book.mark),
        "drawing": drawing(card, say("code.card")) if card else None,
        "codes": [
            OfflineCode(
                code.title,
                drawing(code.symbol, say("code.pocket", number=number)),
                code.lines,
                *_paths(number),
            )
            for number, code in enumerate(offline.codes, 1)
        ],
        "left_out": offline.left_out,
        "width": stated(PRINT_MM, "mm"),
    }
    yield Page("code.md", "no_signal/code", say("menu.code"), view)


def files(book: Book) -> dict[str, str | bytes]:
    """Return the codes as files for labels; without an address only those that need no network."""
    card = card_code(book)
    made = {"assets/code": card} if card else {}
    made |= {
        _paths(number)[0].removesuffix(".svg"): code.symbol
        for number, code in enumerate(pockets(book).codes, 1)
    }
    found: dict[str, str | bytes] = {}
    for path, symbol in made.items():
        svg, png = BytesIO(), BytesIO()
        symbol.save(svg, kind="svg", border=QUIET_ZONE, scale=10, light="#fff", nl=False)
        symbol.save(png, kind="png", border=QUIET_ZONE, scale=PNG_SCALE)
        found |= {f"{path}.svg": svg.getvalue(), f"{path}.png": png.getvalue()}
    return found


def card_address(published: str | None, mark: str | None = None) -> str | None:
    """Return the address of the card of a manual; the published address may end in a slash or a page.

    It contains the mark of the revision, so that the card can tell whether the code or the saved copy is
    out of date.

    Examples
    --------
    >>> card_address("https://manuals.example.org/v/x")
    'https://manuals.example.org/v/x/card.html'
    >>> card_address("https://manuals.example.org/v/x/index.html")
    'https://manuals.example.org/v/x/card.html'
    >>> card_address("https://manuals.example.org/v/x/", "3-ab12cd")
    'https://manuals.example.org/v/x/card.html?r=3-ab12cd'
    """
    if published is None:
        return None
    parts = urlsplit(published)
    folder, _, last = parts.path.rpartition("/")
    path = folder if last.endswith((".html", ".htm")) else parts.path.rstrip("/")
    return urlunsplit((parts.scheme, parts.netloc, f"{path}/{CARD}", f"r={mark}" if mark else "", ""))


def drawing(symbol: segno.QRCode, title: str) -> Markup:
    """Return a code as SVG for a page, with a title for screen readers; black on white in dark mode too."""
    # At least four CSS pixels per module, so that a phone can read it from the screen.
    scale = max(4, 280 // symbol.symbol_size(border=QUIET_ZONE)[0])
    return Markup(
        symbol.svg_inline(
            border=QUIET_ZONE, scale=scale, light="#fff", svgclass="code", omitsize=False, title=title
        )
    )


def _paths(number: int) -> tuple[str, str]:
    return f"assets/without-signal-{number}.svg", f"assets/without-signal-{number}.png"


def card_code(book: Book) -> segno.QRCode | None:
    """Return the code of the card's address, if the van has one; kept with the book.

    Level M tolerates 15 % damage by scratches or dirt (ISO/IEC 18004).
    """
    return book.once(_card_code)


def _card_code(book: Book) -> segno.QRCode | None:
    address = card_address(book.system.van.published, book.mark)
    return segno.make(address, error="m", micro=False) if address else None
