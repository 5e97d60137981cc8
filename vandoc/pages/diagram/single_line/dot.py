"""The DOT text of a sheet: every symbol, line and text with its position, which `neato -n2` keeps."""

from collections.abc import Iterator
from itertools import pairwise
from urllib.parse import quote

import graphviz

from vandoc.pages.diagram.single_line.drawing import SIZES, Box, Drawing, Line, Point, Symbol, Words
from vandoc.pages.diagram.svg import clean, identifier

PT = 72.0  # to the inch, in which the program counts sizes


def dot_text(ident: str, drawing: Drawing, width: float, height: float) -> str:
    """Return the DOT text of a sheet of a width and a height in px; text from a van file is escaped."""
    graph = graphviz.Digraph(
        ident,
        graph_attr={"bgcolor": "transparent", "outputorder": "nodesfirst", "fontname": "Helvetica"},
        node_attr={"shape": "box", "fixedsize": "true", "margin": "0", "label": "", "fontname": "Helvetica"},
        edge_attr={"arrowhead": "none", "fontname": "Helvetica"},
    )

    for name, box, attributes in _nodes(drawing, Box(0, 0, width, height)):
        size = {"width": _inches(box.x1 - box.x0), "height": _inches(box.y1 - box.y0)}
        middle = _at((box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2, height)
        graph.node(name, pos=middle, **size, **attributes)
    for number, line in enumerate(drawing.lines):
        points = " ".join(_at(x, y, height) for x, y in _curve(line.points))
        graph.edge(line.start, line.end, pos=points, **_line(number, line))
    text: str = graph.source
    return text


def _nodes(drawing: Drawing, sheet: Box) -> Iterator[tuple[str, Box, dict[str, str]]]:
    """Yield the name, the place and the attributes of each node, those behind others first."""
    yield "sheet", sheet, {"class": "sheet"}
    for number, area in enumerate(drawing.areas):
        yield f"area-{number}", area.box, {"class": "area"}
    for symbol in drawing.symbols:
        yield symbol.id, symbol.box, _symbol(symbol)
    for number, words in enumerate([*drawing.words, *(area.caption for area in drawing.areas)]):
        yield f"words-{number}", words.box, _words(words)


def _at(x: float, y: float, height: float) -> str:
    """Return a position as the program counts it, upward."""
    return f"{x:.2f},{height - y:.2f}"


def _inches(px: float) -> str:
    return f"{max(px, 0.5) / PT:.4f}"


def _symbol(symbol: Symbol) -> dict[str, str]:
    classes = [
        "symbol",
        f"is-{symbol.kind}",
        *(["away"] if symbol.away else []),
        *(["again"] if symbol.again else []),
    ]
    made = {"id": identifier(symbol.id), "class": " ".join(classes)}
    if symbol.hint:
        made["tooltip"] = escaped(symbol.hint)
    if symbol.href:
        made["URL"] = safe_href(symbol.href)
    return made


def _words(words: Words) -> dict[str, str]:
    classes = ["words", f"is-{words.kind}", words.anchor, *(["bold"] if words.bold else [])]
    return {
        "label": escaped(words.text),
        "color": "none",
        "fontsize": f"{SIZES[words.kind]:g}",
        "class": " ".join(classes),
    }


def _line(number: int, line: Line) -> dict[str, str]:
    kind = {"+": "positive", "-": "negative", "signal": "signal"}[line.sign]
    classes = ["line", kind, *(["again"] if line.again else [])]
    return {"id": f"line-{number}", "class": " ".join(classes), "penwidth": f"{line.width:g}"}


def _curve(points: tuple[Point, ...]) -> list[Point]:
    """Return straight runs as the knots of cubic curves, which the program expects."""
    knots = [points[0]]
    for (x0, y0), (x1, y1) in pairwise(points):
        third = ((x1 - x0) / 3, (y1 - y0) / 3)
        knots += [(x0 + third[0], y0 + third[1]), (x1 - third[0], y1 - third[1]), (x1, y1)]
    return knots


def escaped(text: str) -> str:
    """Return text escaped for a plain DOT label, which interprets backslashes and entities."""
    shown: str = graphviz.escape(clean(text).replace("&", "&amp;"))
    return shown


def safe_href(href: str) -> str:
    """Return a link that is safe in DOT and HTML: percent-encoded, to the manual or the web only."""
    head = href.partition(":")[0].casefold() if ":" in href.partition("/")[0] else ""
    if head not in ("", "http", "https"):
        return "#"
    return quote(href, safe="/#:?=.-_~%")
