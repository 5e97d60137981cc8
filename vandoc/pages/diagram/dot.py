"""The DOT text of a sheet of the single-line diagram.

Graphviz places the parts; `finish` then draws the symbols and the horizontal and vertical wires into its
output. The background colours of the label cells tell `finish` what each cell is for.
"""

from collections.abc import Iterable
from urllib.parse import quote

import graphviz

from vandoc.ground.unknown import cannot_tell
from vandoc.pages.diagram.schematic import SIZE_THEN_LENGTH, DrawnPart, Schematic, Wire
from vandoc.pages.diagram.svg import clean, identifier, text_width, wrap
from vandoc.pages.diagram.symbols import BAR, BOX, STUB

SYMBOL_CELL, STUB_CELL, MINUS_CELL = "#fe0001", "#fe0002", "#fe0003"
NAME_CELL, FACT_CELL, NOTE_CELL = "#fe0011", "#fe0012", "#fe0013"

NAME_SIZE, FACT_SIZE, NOTE_SIZE = 13.0, 12.0, 11.5  # [pt]
BOARD_PITCH = 13.0  # [pt] between the wires at a board
NOTE_WIDTH = 100.0  # [pt] of the text along a wire
MINUS_ROOM = 18.0  # [pt] below a symbol for a wire that enters from below

# Cross-section up to which a positive line has a width. [mm²] to [pt]
LINE_WIDTHS = ((1.5, 1.5), (4.0, 1.9), (10.0, 2.5), (25.0, 3.3), (50.0, 4.2), (float("inf"), 5.2))
RETURN_WIDTH = 1.2


def dot_text(sheet: Schematic) -> str:
    """Return the DOT text of a sheet; all text from a van file is escaped or quoted."""
    graph = graphviz.Digraph(
        sheet.ident,
        graph_attr={
            "rankdir": "LR",
            "newrank": "true",
            "nodesep": "0.36",
            "ranksep": "0.6",
            "bgcolor": "transparent",
            "fontname": "Helvetica",
            "fontsize": f"{FACT_SIZE:g}",
            "labeljust": "l",
            **({"label": _escaped(sheet.foot), "labelloc": "b"} if sheet.foot else {}),
        },
        node_attr={"shape": "plain", "fontname": "Helvetica"},
        edge_attr={"arrowhead": "none", "fontname": "Helvetica"},
    )
    for zone, label in sheet.zones.items():
        members = [part for part in sheet.parts if part.zone == zone]
        if not members:
            continue
        with graph.subgraph(name=f"cluster_{identifier(zone)}") as cluster:
            cluster.attr(label=_escaped(_zone_label(label)), style="filled", color="none", margin="12")
            cluster.attr(**{"class": "zone", "id": f"zone-{identifier(zone)}"})
            for part in members:
                _add_part(cluster, part, sheet)
    for part in sheet.parts:
        if part.zone not in sheet.zones:
            _add_part(graph, part, sheet)
    for wire in sheet.wires:
        _add_wire(graph, wire, sheet.stacked)
    text: str = graph.source
    return text


def _zone_label(label: str) -> str:
    return wrap(label, FACT_SIZE, 300, 1)[0] if clean(label) else "-"


def _escaped(text: str) -> str:
    """Return text escaped for a plain DOT label, which interprets backslashes and entities."""
    shown: str = graphviz.escape(clean(text).replace("&", "&amp;"))
    return shown


def _add_part(graph: graphviz.Digraph, part: DrawnPart, sheet: Schematic) -> None:
    attributes = {
        "id": f"part-{identifier(part.id)}",
        "class": " ".join(
            ["part", f"symbol-{part.symbol}", *(f"return-{way.kind}" for way in part.ways[:1]), *_away(part)]
        ),
        "tooltip": _escaped(", ".join([part.name, *part.facts])),
    }
    if part.href:
        attributes["URL"] = safe_href(part.href)
    under = any(wire.under and wire.end == part.id for wire in sheet.wires)
    graph.node(part.id, label=_part_label(part, under, sheet), **attributes)


def _away(part: DrawnPart) -> list[str]:
    return [] if part.here else ["away"]


def safe_href(href: str) -> str:
    """Return a link that is safe in DOT and HTML: percent-encoded, to the manual or the web only."""
    head = href.partition(":")[0].casefold() if ":" in href.partition("/")[0] else ""
    if head not in ("", "http", "https"):
        return "#"
    return quote(href, safe="/#:?=.-_~%")


def _part_label(part: DrawnPart, under: bool, sheet: Schematic) -> str:
    width = sheet.text_width
    rows = [_text_row(NAME_CELL, wrap(part.name, NAME_SIZE, width, 2, bold=True), NAME_SIZE, bold=True)]
    facts = [line for fact in part.facts for line in wrap(fact, FACT_SIZE, width, 3)]
    rows.append(_text_row(FACT_CELL, facts, FACT_SIZE))
    if part.symbol == "busbar":
        rows.append(_cell_row(SYMBOL_CELL, BAR, max(part.tall, 1) * sheet.pitch, "s"))
    else:
        rows.append(
            _cell_row(
                SYMBOL_CELL, BOX, BOX if part.tall < 2 else max(BOX + 6, 16 + BOARD_PITCH * part.tall), "s"
            )
        )
    if under:
        rows.append(_cell_row(MINUS_CELL, BOX, MINUS_ROOM, "m"))
    if part.ways:
        rows.append(_cell_row(STUB_CELL, STUB, STUB, ""))
        texts = [text for way in part.ways for text in (way.to, way.size)]
        words = [line for text in texts for line in wrap(text, NOTE_SIZE, width, 2)]
        rows.append(_text_row(NOTE_CELL, words, NOTE_SIZE))
    return _table(rows)


def _table(rows: Iterable[str]) -> str:
    return f'<<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">{"".join(rows)}</TABLE>>'


def _cell_row(colour: str, width: float, height: float, port: str) -> str:
    named = f' PORT="{port}"' if port else ""
    return (
        f'<TR><TD{named} FIXEDSIZE="TRUE" WIDTH="{width:g}" HEIGHT="{height:g}" BGCOLOR="{colour}"></TD></TR>'
    )


def _text_row(colour: str, lines: list[str], size: float, bold: bool = False) -> str:
    if not lines:
        return ""
    width = max(text_width(line, size, bold) for line in lines) + 6
    text = "<BR/>".join(_html(line) for line in lines)
    height = len(lines) * size * 1.2 + 3
    return (
        f'<TR><TD WIDTH="{width:.0f}" HEIGHT="{height:.0f}" BGCOLOR="{colour}">'
        f'<FONT POINT-SIZE="{size:g}">{text}</FONT></TD></TR>'
    )


def _html(text: str) -> str:
    """Return text escaped for an HTML-like label, where markup characters must be entities."""
    shown = clean(text)
    for char, entity in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("\\", "&#92;")):
        shown = shown.replace(char, entity)
    return shown


def _add_wire(graph: graphviz.Digraph, wire: Wire, stacked: bool) -> None:
    words = wire_notes(wire, stacked)
    kind = {"+": "line positive", "-": "line negative", "signal": "line signal"}[wire.sign]
    under = ["under"] if wire.under else []
    attributes = {
        "id": f"wire-{identifier(wire.id)}",
        "class": " ".join([kind, f"from_{identifier(wire.start)}", f"to_{identifier(wire.end)}", *under]),
        "penwidth": f"{line_width(wire):g}",
        "weight": "4" if wire.sign == "+" else "2",
    }
    if wire.sign != "+":
        attributes["style"] = "dashed" if wire.sign == "-" else "dotted"
    if words:
        attributes["label"] = _table([_text_row(NOTE_CELL, words, NOTE_SIZE)])
    graph.edge(f"{wire.start}:s:e", f"{wire.end}:{'m' if wire.under else 's'}:w", **attributes)


def wire_notes(wire: Wire, stacked: bool) -> list[str]:
    """Return the text along a wire: polarity, size, length, fuses; if stacked, length on its own line."""
    mark = {"+": "+ ", "-": "− ", "signal": ""}[wire.sign]
    sizes = [f"{mark}{size}" for size in wire.sizes]
    if stacked and len(sizes) == 1:
        sizes = sizes[0].split(SIZE_THEN_LENGTH)
    return [*sizes, *(line for fuse in wire.fuses for line in wrap(fuse, NOTE_SIZE, NOTE_WIDTH, 2))]


def line_width(wire: Wire) -> float:
    """Return the line width of a wire. [pt]"""
    if wire.sign != "+" or cannot_tell(wire.area_mm2):
        return RETURN_WIDTH
    return next(width for area, width in LINE_WIDTHS if wire.area_mm2 <= area)
