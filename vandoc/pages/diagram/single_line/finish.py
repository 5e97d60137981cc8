"""The layout program's SVG with our symbols, colours and links in place of its boxes."""

import re
from collections.abc import Sequence
from xml.etree import ElementTree as ET
from xml.etree.ElementTree import Element

from vandoc.ground.messages import Messages
from vandoc.pages.diagram.render import DiagramError
from vandoc.pages.diagram.single_line.dot import safe_href
from vandoc.pages.diagram.single_line.drawing import SIZES
from vandoc.pages.diagram.svg import INK, TINT, clean, document, element, identifier, path
from vandoc.pages.diagram.symbols import in_box

say = Messages("vandoc.pages.diagram", "faults").say

SVG = "{http://www.w3.org/2000/svg}"
HREF = "{http://www.w3.org/1999/xlink}href"
HINT = "{http://www.w3.org/1999/xlink}title"
DASHES = {"negative": "5 4", "signal": "1.5 3.5"}

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")


def finished(svg: str, ident: str, title: str, description: str, frame: Sequence[Element] = ()) -> str:
    """Return the drawing of one sheet.

    Parameters
    ----------
    svg : str
        Output of the layout program for the sheet's DOT text.
    ident : str
        Identifies the drawing in its page; prefix of every id inside.
    title, description : str
        Text for screen readers.
    frame : sequence of Element
        What is drawn around it.

    Raises
    ------
    DiagramError
        If `svg` is not the output of a layout program.
    """
    try:
        root = ET.fromstring(svg)
    except ET.ParseError as error:
        raise DiagramError(say("layout.the_layout_programs_answer_is", error=error)) from error
    groups = [(set(group.get("class", "").split()), group) for group in root.iter(f"{SVG}g")]
    sheet = next((group for kinds, group in groups if "sheet" in kinds), None)
    if sheet is None:
        raise DiagramError(say("layout.layout_programs_answer"))
    x0, y0, x1, y1 = _box(sheet)
    place = _Place(x0, y0, ident)
    areas = [place.area(group) for kinds, group in groups if "area" in kinds]
    lines = [place.line(group, kinds) for kinds, group in groups if "line" in kinds]
    symbols = [place.symbol(group, kinds) for kinds, group in groups if "symbol" in kinds]
    words = [place.words(group, kinds) for kinds, group in groups if "words" in kinds]
    return document(ident, title, description, x1 - x0, y1 - y0, *frame, *areas, *lines, *symbols, *words)


def _box(group: Element) -> tuple[float, float, float, float]:
    polygon = next(group.iter(f"{SVG}polygon"))
    numbers = [float(n) for n in _NUMBER.findall(polygon.get("points", ""))]
    return min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2])


class _Place:
    """What is drawn for each group of the program's answer; the sheet's corner becomes the origin."""

    def __init__(self, x: float, y: float, ident: str) -> None:
        self.x, self.y, self.ident = x, y, identifier(ident)

    def _corner(self, group: Element) -> tuple[float, float, float, float]:
        x0, y0, x1, y1 = _box(group)
        return x0 - self.x, y0 - self.y, x1 - x0, y1 - y0

    def area(self, group: Element) -> Element:
        x, y, width, height = self._corner(group)
        shape = element("rect", x=x, y=y, width=width, height=height, rx=4, fill=TINT)
        return element("g", shape, class_="zone")

    def line(self, group: Element, kinds: set[str]) -> Element:
        way = next(group.iter(f"{SVG}path"))
        numbers = [float(n) for n in _NUMBER.findall(way.get("d", ""))]
        knots = [(x - self.x, y - self.y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        steps: list[str | float] = []
        for n, (x, y) in enumerate(knots[::3]):
            steps += ["L" if n else "M", x, y]
        kind = next(name for name in ("positive", "negative", "signal") if name in kinds)
        dashes = {"stroke_dasharray": DASHES[kind]} if kind in DASHES else {}
        width = float(way.get("stroke-width", "1"))
        ident = f"{self.ident}-{group.get('id', '')}"
        classes = f"line {kind}{' again' if 'again' in kinds else ''}"
        return path(
            *steps,
            stroke=INK,
            stroke_width=width,
            stroke_linejoin="round",
            class_=classes,
            id=ident,
            **dashes,
        )

    def symbol(self, group: Element, kinds: set[str]) -> Element:
        kind = next(name.removeprefix("is-") for name in kinds if name.startswith("is-"))
        link = next(group.iter(f"{SVG}a"), None)
        shape = in_box(kind, *self._corner(group))
        inside = [shape]
        if link is not None:
            if clean(link.get(HINT, "")):
                inside.insert(0, element("title", link.get(HINT, "")))
            if link.get(HREF):
                inside = [element("a", *inside, href=safe_href(link.get(HREF, "")))]
        more = "".join(f" {name}" for name in ("away", "again") if name in kinds)
        return element("g", *inside, class_=f"part{more}", id=f"{self.ident}-{group.get('id', '')}")

    def words(self, group: Element, kinds: set[str]) -> Element:
        x, y, width, height = self._corner(group)
        said = next((text.text or "" for text in group.iter(f"{SVG}text")), "")
        kind = next(name for name in SIZES if f"is-{name}" in kinds)
        anchor = next(name for name in ("start", "middle", "end") if name in kinds)
        left = {"start": x, "middle": x + width / 2, "end": x + width}[anchor]
        return element(
            "text",
            said,
            x=left,
            y=y + height / 2 + SIZES[kind] * 0.34,
            font_size=SIZES[kind],
            text_anchor=anchor,
            fill=INK,
            font_weight="bold" if "bold" in kinds else "normal",
            class_=f"{'muted' if kind in ('fact', 'zone') else 'label'} {kind}",
        )
