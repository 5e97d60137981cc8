"""The code that opens the manual on a phone."""

from collections.abc import Iterator
from io import BytesIO

import segno

from vandoc.manual.book import Book
from vandoc.manual.page import Page
from vandoc.manual.text import Trusted, say

QUIET_ZONE = 4  # modules, ISO/IEC 18004
PNG_SCALE = 12  # pixels for each module: sharp when printed some centimetres wide


def pages(book: Book) -> Iterator[Page]:
    """Yield the page with the code, or with a note where the van file gives no address."""
    address = book.system.van.published
    view: dict[str, object] = {"address": address, "drawing": drawing(address) if address else None}
    yield Page("code.md", "code", say("menu.code"), view)


def files(book: Book) -> dict[str, str | bytes]:
    """Return the code as files for a label, or nothing where the van file gives no address."""
    address = book.system.van.published
    if address is None:
        return {}
    svg, png = BytesIO(), BytesIO()
    made = _code(address)
    made.save(svg, kind="svg", border=QUIET_ZONE, scale=10, light="#fff", nl=False)
    made.save(png, kind="png", border=QUIET_ZONE, scale=PNG_SCALE)
    return {"assets/code.svg": svg.getvalue(), "assets/code.png": png.getvalue()}


def drawing(address: str) -> Trusted:
    """Return the code as SVG for a page; black on white by day and night, so that every reader reads it."""
    made = _code(address).svg_inline(
        border=QUIET_ZONE, scale=7, light="#fff", svgclass="code", omitsize=False
    )
    return Trusted(made)


def _code(address: str) -> segno.QRCode:
    """Level M stands a scratch or some dirt (15 % of the code, ISO/IEC 18004)."""
    return segno.make(address, error="m", micro=False)
