"""A page's drawings as files for print: in ink, with their rules inside, and in words for who cannot see."""

import re
from xml.etree import ElementTree as ET

from vandoc.pages.diagram.svg import clean

SVG = "http://www.w3.org/2000/svg"
XMLNS = "{http://www.w3.org/2000/xmlns/}xmlns"  # which the parser of HTML leaves, and the writer sets itself
# The colours of the page by day, on white paper.
COLOURS = {
    "paper": "#ffffff",
    "tint": "#f0eadd",
    "ink": "#1d1a16",
    "muted": "#4f483f",
    "hairline": "#b9b1a0",
    "edge": "#7d7466",
    "accent": "#5a2751",
}
# What the style of the web pages says of drawings, in words that a drawing on its own understands.
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
    """Return a drawing of a page as a file of its own, and what it shows in words.

    Parameters
    ----------
    drawing : Element
        An ``svg`` as an HTML parser leaves it. It is changed.
    ink : str
        Its own colour.
    styled : bool
        Whether the rules of drawings apply; small marks within words have none.
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
            item.set("fill", COLOURS["edge"])  # words that shine through would be cut off at their anchor
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
    """Return the width and height of a drawing in the unit of its view box, 0 where it has none."""
    box = [float(part) for part in re.split(r"[\s,]+", drawing.get("viewBox", "0 0 0 0").strip())]
    return box[2], box[3]


def _text_of(drawing: ET.Element, key: str) -> str:
    found = drawing.find(f"{{{SVG}}}{key}")
    return clean("".join(found.itertext())) if found is not None else ""


def _as_seen(drawing: ET.Element) -> None:
    """Put words that run from right to left into the order and shapes in which they are seen.

    What makes the PDF sets the words of a drawing letter by letter, from left to right.
    """
    for item in drawing.iter():
        if item.tag in WORDS and item.text and _RIGHT_TO_LEFT.search(item.text):
            from arabic_reshaper import reshape
            from bidi import get_display

            item.text = str(get_display(reshape(item.text)))


def _with_halos(drawing: ET.Element) -> None:
    """Draw the light edge of words as words of their own below them: print knows no order of painting."""
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
