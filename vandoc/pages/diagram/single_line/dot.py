"""The DOT text of a sheet: every symbol, line and text with its position, which `neato -n2` keeps."""

from urllib.parse import quote

import graphviz

from vandoc.pages.diagram.single_line.drawing import SIZES, Drawing, Line, Point, Symbol, Words
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

    def at(x: float, y: float) -> str:
        return f"{x:.2f},{height - y:.2f}"

    def box(name: str, x0: float, y0: float, x1: float, y1: float, **attributes: str) -> None:
        size = {"width": f"{max(x1 - x0, 0.5) / PT:.4f}", "height": f"{max(y1 - y0, 0.5) / PT:.4f}"}
        graph.node(name, pos=at((x0 + x1) / 2, (y0 + y1) / 2), **size, **attributes)

    box("sheet", 0, 0, width, height, **{"class": "sheet"})
    for number, area in enumerate(drawing.areas):
        edges = (area.box.x0, area.box.y0, area.box.x1, area.box.y1)
        box(f"area-{number}", *edges, **{"class": "area"})
    for symbol in drawing.symbols:
        edges = (symbol.box.x0, symbol.box.y0, symbol.box.x1, symbol.box.y1)
        box(symbol.id, *edges, **_symbol(symbol))
    for number, words in enumerate([*drawing.words, *(area.caption for area in drawing.areas)]):
        _words(box, number, words)
    for number, line in enumerate(drawing.lines):
        points = " ".join(at(x, y) for x, y in _curve(line.points))
        graph.edge(line.start, line.end, pos=points, **_line(number, line))
    text: str = graph.source
    return text


def _symbol(symbol: Symbol) -> dict[str, str]:
    classes = ["symbol", f"is-{symbol.kind}", *(["away"] if symbol.away else []), *(["again"] if symbol.again else [])]
    made = {"id": identifier(symbol.id), "class": " ".join(classes)}
    if symbol.hint:
        made["tooltip"] = escaped(symbol.hint)
    if symbol.href:
        made["URL"] = safe_href(symbol.href)
    return made


def _words(box: object, number: int, words: Words) -> None:
    assert callable(box)
    edges = (words.box.x0, words.box.y0, words.box.x1, words.box.y1)
    classes = ["words", f"is-{words.kind}", words.anchor, *(["bold"] if words.bold else [])]
    box(
        f"words-{number}",
        *edges,
        label=escaped(words.text),
        color="none",
        fontsize=f"{SIZES[words.kind]:g}",
        **{"class": " ".join(classes)},
    )


def _line(number: int, line: Line) -> dict[str, str]:
    kind = {"+": "positive", "-": "negative", "signal": "signal"}[line.sign]
    classes = ["line", kind, *(["again"] if line.again else [])]
    return {"id": f"line-{number}", "class": " ".join(classes), "penwidth": f"{line.width:g}"}


def _curve(points: tuple[Point, ...]) -> list[Point]:
    """Return straight runs as the knots of cubic curves, which the program expects."""
    knots = [points[0]]
    for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
        knots += [(x0 + (x1 - x0) / 3, y0 + (y1 - y0) / 3), (x0 + 2 * (x1 - x0) / 3, y0 + 2 * (y1 - y0) / 3), (x1, y1)]
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
