"""Conversion of the layout program's output to the drawing: symbols, wires, text and links."""

from xml.etree.ElementTree import Element

from vandoc.pages.diagram.align import align
from vandoc.pages.diagram.dot import (
    FACT_CELL,
    FACT_SIZE,
    NAME_CELL,
    NAME_SIZE,
    NOTE_CELL,
    NOTE_SIZE,
    STUB_CELL,
    SYMBOL_CELL,
    safe_href,
)
from vandoc.pages.diagram.layout import Cell, Link, Node, Point, Zone, read_layout
from vandoc.pages.diagram.svg import (
    HAIRLINE,
    INK,
    TINT,
    clean,
    document,
    element,
    identifier,
    path,
    text_block,
)
from vandoc.pages.diagram.symbols import BAR, BOX, STUB, bar, board, return_stub, symbol, symbol_named
from vandoc.pages.diagram.wires import route

_SIZES = {NAME_CELL: NAME_SIZE, FACT_CELL: FACT_SIZE, NOTE_CELL: NOTE_SIZE}
_DASHES = {"negative": "5 4", "signal": "1.5 3.5"}


def place_symbols(svg: str, ident: str, title: str, description: str = "") -> str:
    """Return the drawing of one sheet.

    Parameters
    ----------
    svg : str
        Output of the layout program for the sheet's DOT text.
    ident : str
        Identifies the drawing in its page; prefix of every id inside.
    title, description : str
        Text for screen readers.

    Raises
    ------
    DiagramError
        If `svg` is not the output of a layout program.
    """
    layout = read_layout(svg)
    align(layout)
    corners = route(layout)
    if layout.foot:
        layout.height += 22
    body = [_zone(zone) for zone in layout.zones]
    body += [_wire(link, corners[link.id], ident) for link in layout.links]
    body += [_part(node, ident) for node in layout.nodes]
    body += [_zone_words(zone) for zone in layout.zones]
    if layout.foot:
        body.append(text_block(8, layout.height - 8, [layout.foot], FACT_SIZE, class_="muted foot"))
    return document(ident, title, description, layout.width, layout.height, *body)


def _zone(zone: Zone) -> Element:
    box = zone.box
    area = element(
        "rect",
        x=box.x0,
        y=box.y0,
        width=box.x1 - box.x0,
        height=box.y1 - box.y0,
        rx=6,
        fill=TINT,
        stroke=HAIRLINE,
    )
    return element("g", area, class_="zone")


def _zone_words(zone: Zone) -> Element:
    """Return the name of a location on a band of its tint, because a wire may pass behind it."""
    return text_block(
        *(zone.box.x0 + 10, zone.box.y0 + 16, [zone.words], FACT_SIZE),
        stroke=TINT,
        stroke_width=5,
        class_="zone-words edged",
    )


def _wire(link: Link, corners: list[Point], ident: str) -> Element:
    kind = next(name for name in ("positive", "negative", "signal") if name in link.classes)
    steps: list[str | float] = []
    for n, (x, y) in enumerate(corners):
        steps += ["L" if n else "M", x, y]
    line = path(
        *steps,
        stroke=INK,
        stroke_width=link.width,
        stroke_linejoin="round",
        class_=f"line {kind}",
        **({"stroke_dasharray": _DASHES[kind]} if kind in _DASHES else {}),
    )
    words = [_words(link.label, up=link.width / 2)] if link.label and link.label.lines else []
    return element("g", line, *words, class_="wire", id=f"{identifier(ident)}-{link.id}")


def _part(node: Node, ident: str) -> Element:
    inside = [element("title", node.hint)] if clean(node.hint) else []
    for cell in node.cells:
        if cell.colour == SYMBOL_CELL:
            inside.append(_symbol(node, cell))
        elif cell.colour == STUB_CELL:
            kind = "earth" if "return-earth" in node.classes else "bar"
            inside.append(
                return_stub(
                    kind,
                    cell.box.x - STUB / 2,
                    cell.box.y0,
                    0.0 if node.kind == "busbar" else symbol_named(node.kind).below,
                )
            )
        elif cell.lines:
            inside.append(_words(cell))
    if node.href:
        inside = [element("a", *inside, href=safe_href(node.href))]
    away = " away" if "away" in node.classes else ""
    return element("g", *inside, class_=f"part{away}", id=f"{identifier(ident)}-{node.id}")


def _symbol(node: Node, cell: Cell) -> Element:
    kind = node.kind
    if kind == "busbar":
        return bar(cell.box.x - BAR / 2, cell.box.y0, cell.box.y1 - cell.box.y0)
    if kind == "board":
        return board(cell.box.x - BOX / 2, cell.box.y0, cell.box.y1 - cell.box.y0)
    return symbol(kind, cell.box.x - BOX / 2, cell.box.y - BOX / 2)


def _words(cell: Cell, up: float = 0.0) -> Element:
    size = _SIZES[cell.colour]
    first = cell.box.y - (len(cell.lines) - 1) * size * 0.6 + size * 0.35 - up
    weight = "bold" if cell.colour == NAME_CELL else "normal"
    return text_block(cell.box.x, first, cell.lines, size, "middle", font_weight=weight, class_="label")
