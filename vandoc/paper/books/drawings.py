"""Drawings of a page as files for print: in print colours, with their style rules and a text alternative."""

import re
from xml.etree import ElementTree as ET

from vandoc.pages.diagram.svg import clean

SVG = "http://www.w3.org/2000/svg"
XMLNS = "{http://www.w3.org/2000/xmlns/}xmlns"  # the HTML parser leaves it, and the serialiser adds its own
# The colours of the page in light mode, on white paper.
COLOURS = {
    "paper": "#ffffff",
    "tint": "#f0eadd",
    "ink": "#1d1a16",
    "muted": "#4f483f",
    "hairline": "#b9b1a0",
    "edge": "#7d7466",
    "accent": "#5a2751",
}
# The rules for drawings from the web style sheet, in a form that a separate file can use.
RULES = """
.line, .line path, .line line, .line polyline { fill: none; stroke: INK }
.zone, .zone path, .zone rect, .zone polygon { fill: TINT; stroke: none }
text.label, .label text { fill: INK; stroke: none }
text.muted, .muted text { fill: MUTED; stroke: none }
.sought path, .sought rect, .sought circle, .sought ellipse, .sought polygon { fill: ACCENT; stroke: ACCENT }
.sought text { fill: PAPER; stroke: none; font-weight: 700 }
text.sought { fill: ACCENT; stroke: none; font-weight: 700 }
"""
for _name, _value in COLOURS.items():
    RULES = RULES.replace(_name.upper(), _value)
WORDS = (f"{{{SVG}}}text", f"{{{SVG}}}tspan")
_RIGHT_TO_LEFT = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]")
_VARIABLE = re.compile(r"var\(\s*--(\w+)\s*(?:,[^()]*)?\)")


def printable(drawing: ET.Element, ink: str = COLOURS["ink"], *, styled: bool = True) -> tuple[bytes, str]:
    """Return a drawing of a page as a separate file, and its text alternative.

    Parameters
    ----------
    drawing : Element
        An ``svg`` element from an HTML parser. It is changed.
    ink : str
        Its main colour.
    styled : bool
        Whether the style rules of drawings apply; small symbols within text have none.
    """
    words = [found for key in ("title", "desc") if (found := _text_of(drawing, key))]
    _with_halos(drawing)
    _as_seen(drawing)
    for item in drawing.iter():
        for key, value in list(item.attrib.items()):
            item.set(
                key,
                _VARIABLE.sub(lambda match: COLOURS.get(match[1], ink), value).replace("currentColor", ink),
            )
        if item.tag == f"{{{SVG}}}text" and float(item.attrib.pop("opacity", 1)) < 1:
            item.set("fill", COLOURS["edge"])  # semi-transparent text would be cut off at its anchor
        for key in (XMLNS, "href"):
            item.attrib.pop(key, None)
    drawing.set("color", ink)
    drawing.set("font-family", "Hyperlegible,Hyperlegible Extended,sans-serif")
    if not styled:
        drawing.set("fill", ink)
    else:
        style = ET.Element(f"{{{SVG}}}style")
        style.text = RULES
        drawing.insert(0, style)
    return _written(drawing), ". ".join(words)


def size_of(drawing: ET.Element) -> tuple[float, float]:
    """Return the width and height of a drawing in units of its view box, 0 if it has none."""
    box = [float(part) for part in re.split(r"[\s,]+", drawing.get("viewBox", "0 0 0 0").strip())]
    return box[2], box[3]


def _text_of(drawing: ET.Element, key: str) -> str:
    found = drawing.find(f"{{{SVG}}}{key}")
    return clean("".join(found.itertext())) if found is not None else ""


def _as_seen(drawing: ET.Element) -> None:
    """Convert right-to-left text to visual order and shapes.

    The PDF library sets the text of a drawing letter by letter, from left to right.
    """
    for item in drawing.iter():
        if item.tag in WORDS and item.text and _RIGHT_TO_LEFT.search(item.text):
            from arabic_reshaper import reshape
            from bidi import get_display

            item.text = str(get_display(reshape(item.text)))


def _with_halos(drawing: ET.Element) -> None:
    """Draw the light outline of text as separate text below it: print does not support `paint-order`."""
    for parent in list(drawing.iter()):
        for place, child in reversed(list(enumerate(parent))):
            if "edged" in child.get("class", "").split():
                halo = ET.fromstring(ET.tostring(child))
                for item in (child, *child.iter()):
                    for key in ("stroke", "stroke-width"):
                        item.attrib.pop(key, None)
                parent.insert(place, halo)


def _written(drawing: ET.Element) -> bytes:
    ET.register_namespace("", SVG)
    made: bytes = ET.tostring(drawing, encoding="us-ascii")
    return made
