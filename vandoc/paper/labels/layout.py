"""Placement of labels on sheets, and the documents that contain them."""

from collections.abc import Iterable
from dataclasses import dataclass
from io import BytesIO

from vandoc.ground.figures import plain, stated
from vandoc.ground.measures import measure
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.imprint import last_day
from vandoc.pages.manual.no_signal.code import card_code
from vandoc.pages.manual.no_signal.pocket import PRINT_MM, QUIET_ZONE, pockets
from vandoc.paper.labels.fitting import LEADING, SMALLEST_PT, Text, TypesetLabel
from vandoc.paper.labels.sheets import A4_MM, Sheet
from vandoc.paper.metrics import in_lines
from vandoc.paper.pdf import FAMILY, address
from vandoc.paper.signs import sign
from vandoc.paper.words import environment, say

MARK_MM = 2.0  # arm length of a crop mark
RULER_MM = 100
INCH_MM, RULER_IN, TICKS_AN_INCH = 25.4, 4, 8
CODE_BOX_MM = (90.0, 60.0)


@dataclass(frozen=True)
class Rect:
    """Filled rectangle on a page. [mm]"""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class PlacedLabel:
    """Position of a label on a page. [mm]"""

    x_mm: float
    y_mm: float
    set: TypesetLabel


@dataclass(frozen=True)
class Code:
    """QR code to cut out."""

    x_mm: float
    y_mm: float
    title: str
    how: str
    source: str


@dataclass(frozen=True)
class Codes:
    """All QR codes of a van and their drawings."""

    pages: tuple[tuple[Code, ...], ...]
    files: dict[str, bytes]


def pages_of(made: list[TypesetLabel], sheet: Sheet, first: int = 1) -> list[list[PlacedLabel]]:
    """Return the labels on each page of a sheet; none for a tape.

    The first page begins at its label number `first`: the ones before it have been used.
    """
    if sheet.tape:
        return []
    spots, used = list(sheet.spots()), first - 1
    pages: list[list[PlacedLabel]] = []
    for number, one in enumerate(made, used):
        page, spot = divmod(number, len(spots))
        if page == len(pages):
            pages.append([])
        pages[page].append(PlacedLabel(*spots[spot], one))
    return pages


def cut_marks(boxes: Iterable[tuple[float, float, float, float]], page: tuple[float, float]) -> list[Rect]:
    """Return a crop mark at each corner of boxes (x, y, width, height), each once and within the page."""
    corners = {
        (round(x + dx, 4), round(y + dy, 4))
        for x, y, width, height in boxes
        for dx in (0.0, width)
        for dy in (0.0, height)
    }
    arms = [
        arm
        for x, y in sorted(corners)
        for arm in (
            (x - MARK_MM, y - HAIR / 2, 2 * MARK_MM, HAIR),
            (x - HAIR / 2, y - MARK_MM, HAIR, 2 * MARK_MM),
        )
    ]
    return [Rect(*_within(arm, page)) for arm in arms]


HAIR = 0.1  # mm, line width of a crop mark


def _within(
    arm: tuple[float, float, float, float], page: tuple[float, float]
) -> tuple[float, float, float, float]:
    x, y, width, height = arm
    right, bottom = min(x + width, page[0]), min(y + height, page[1])
    x, y = max(x, 0.0), max(y, 0.0)
    return x, y, right - x, bottom - y


def ruler(x: float, y: float, upright: bool) -> list[Rect]:
    """Return a ruler: its line, and a tick for each millimetre, longer at 5 and 10; or for each ⅛ inch."""
    long = _ruler_mm()
    step, whole = (INCH_MM / TICKS_AN_INCH, TICKS_AN_INCH) if in_inches() else (1.0, 10)
    line = Rect(x, y, HAIR * 2, long) if upright else Rect(x, y, long, HAIR * 2)
    ticks = []
    for number in range(round(long / step) + 1):
        length = 5.0 if number % whole == 0 else 3.5 if number % (whole // 2) == 0 else 2.0
        start = number * step - HAIR / 2
        ticks.append(Rect(x, y + start, length, HAIR) if upright else Rect(x + start, y, HAIR, length))
    return [line, *ticks]


def in_inches() -> bool:
    """Whether the ruler is in inches."""
    return measure("mm") == "in"


def _ruler_mm() -> float:
    return INCH_MM * RULER_IN if in_inches() else RULER_MM


def codes(book: Book) -> Codes:
    """Return the QR codes: one for the owner's card if it has an address, and those that work offline."""
    found = []
    card = card_code(book)
    if card:
        title = say("labels.code_card", van=book.system.van.name)
        found.append((title, say("labels.code_card_how"), card))
    found += [(code.title, say("labels.code_pocket_how"), code.symbol) for code in pockets(book).codes]
    columns, rows = 2, 4
    files, made = {}, []
    for number, (title, how, symbol) in enumerate(found):
        name = f"code-{number}.svg"
        drawn = BytesIO()
        symbol.save(drawn, kind="svg", border=QUIET_ZONE, light="#fff", omitsize=True, xmldecl=False)
        files[name] = drawn.getvalue()
        row, column = divmod(number % (columns * rows), columns)
        made.append(Code(15 + column * CODE_BOX_MM[0], 42 + row * CODE_BOX_MM[1], title, how, address(name)))
    per_page = columns * rows
    return Codes(tuple(tuple(made[n : n + per_page]) for n in range(0, len(made), per_page)), files)


def sheet_document(
    book: Book, sheet: Sheet, made: list[TypesetLabel], pages: list[list[PlacedLabel]], shown: Codes
) -> tuple[str, dict[str, bytes]]:
    """Return the A4 document and the drawings that it names."""
    boxes = [
        (x, y, sheet.label_width_mm or 0.0, sheet.label_height_mm)
        for x, y in (() if sheet.tape else sheet.spots())
    ]
    width, height = CODE_BOX_MM
    view = _view(book, sheet, made) | {
        "pages": pages,
        "marks": cut_marks(boxes, A4_MM),
        "outline": boxes,
        "rulers": [*ruler(55, 95, False), *ruler(55, 105, True)],
        "codes": shown.pages,
        "code_marks": [
            cut_marks([(c.x_mm, c.y_mm, width, height) for c in page], A4_MM) for page in shown.pages
        ],
        "code_mm": PRINT_MM,
        "code_box": CODE_BOX_MM,
        "page_count": len(pages),
    }
    return environment().get_template("labels.html.j2").render(view), _signs(made) | shown.files


def tape_document(book: Book, sheet: Sheet, made: list[TypesetLabel]) -> tuple[str, dict[str, bytes]]:
    """Return the document of a tape: one page for each label, beginning with a ruler."""
    view = _view(book, sheet, made) | {
        "pages": [[PlacedLabel(0.0, 0.0, one)] for one in made],
        "rulers": ruler(10, sheet.label_height_mm / 2 - 2, False),
        "lengths": sorted({one.width_mm for one in made}),
    }
    return environment().get_template("tape.html.j2").render(view), _signs(made)


def _view(book: Book, sheet: Sheet, made: list[TypesetLabel]) -> dict[str, object]:
    last = last_day(book.system)
    return {
        "family": FAMILY,
        "van": book.system.van,
        "revision": book.revision_in_print,
        "date": last.isoformat() if last else None,
        "sheet": sheet,
        "count": len(made),
        "misfits": [one.label for one in made if not one.fits],
        "foreign": list(dict.fromkeys((one.label.kind, one.label.title) for one in made if one.foreign)),
        "smallest": f"{SMALLEST_PT:g}",
        "leading": LEADING,
        "address": address,
        "ruler_mm": _ruler_mm(),
        "ruler": stated(_ruler_mm(), "mm"),
        "size": [plain(stated(side or 0.0, "mm")) for side in (sheet.label_width_mm, sheet.label_height_mm)],
        "wrapped": wrapped,
    }


def wrapped(text: str, size_pt: float, width: float) -> list[str]:
    """Return text as lines; a word that is too wide is not broken."""
    return in_lines(text, size_pt, width) or [text]


def _signs(made: list[TypesetLabel]) -> dict[str, bytes]:
    return {f"{name}.svg": sign(name) for name in {one.label.sign for one in made} if name}


__all__ = [
    "Code",
    "Codes",
    "PlacedLabel",
    "Rect",
    "Text",
    "codes",
    "cut_marks",
    "pages_of",
    "ruler",
    "sheet_document",
]
