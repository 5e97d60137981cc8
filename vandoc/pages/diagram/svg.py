"""Building blocks of every drawing: elements, text fitted to a width, numbers, the outer document.

A drawing is inline SVG for an HTML page: no XML head, no style element, no script, no external resources.
Colours are CSS variables of the page with a fallback, so that a drawing also works saved or printed alone.
"""

import re
import unicodedata
from collections.abc import Sequence
from xml.etree import ElementTree as ET

INK = "currentColor"  # which the outer element sets to the page's text colour
PAPER = "var(--paper, #fbf8f1)"
ACCENT = "var(--accent, #1f5a6b)"
HAIRLINE = "var(--hairline, #b9b1a0)"
TINT = "var(--tint, #efe9dc)"
FONT = "'Atkinson Hyperlegible', Helvetica, Arial, sans-serif"

_NARROW = frozenset("iljI.,:;'|!()[]{}ftr·-‘’ /\\\"“”")
_WIDE = frozenset("mwMW@%—…ÆŒæœ")


def clean(text: str) -> str:
    """Return `text` on one line, without control, bidi-override, surrogate or non-character code points."""
    if text.isascii() and text.isprintable():  # fast path for most texts, of which there are thousands
        return " ".join(text.split())
    kept = (" " if char.isspace() else char for char in text)
    return " ".join("".join(char for char in kept if _shown(char)).split())


def _shown(char: str) -> bool:
    # The two joiners of the Cf category shape letters in Persian and Indic scripts.
    return char in "\u200c\u200d" or unicodedata.category(char) not in {"Cc", "Cf", "Cs", "Cn", "Co"}


def identifier(text: str) -> str:
    """Return an id for HTML and SVG made from any text; different texts have different ids."""
    coded = re.sub(r"[^A-Za-z0-9-]", lambda match: f"_{ord(match[0]):x}_", text)
    return coded if coded[:1].isalpha() else f"_{coded}"


def number(value: float) -> str:
    """Return a coordinate with at most two decimals, never "-0".

    >>> number(2.5), number(-0.001), number(12.345678)
    ('2.5', '0', '12.35')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def element(tag: str, /, *content: ET.Element | str, **attributes: str | float) -> ET.Element:
    """Return an SVG element with its children or its text; the XML writer does all escaping.

    In attribute names an underscore means a hyphen; a trailing underscore is removed (``class_``).
    """
    made = ET.Element(tag)
    for name, value in attributes.items():
        key = name if name == "viewBox" else name.rstrip("_").replace("_", "-")
        made.set(key, value if isinstance(value, str) else number(value))
    for item in content:
        if isinstance(item, str):
            made.text = clean(item)
        else:
            made.append(item)
    return made


def path(*steps: str | float, **attributes: str | float) -> ET.Element:
    """Return a path from commands and coordinates, as in ``path("M", 0, 0, "H", 10)``."""
    data = " ".join(step if isinstance(step, str) else number(step) for step in steps)
    return element("path", d=data, **attributes)


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return the width of `text` in a sans-serif font, a generous estimate in the unit of `size`."""
    total = 0.0
    for char in text:
        if unicodedata.combining(char):
            continue
        if unicodedata.east_asian_width(char) in {"W", "F"}:
            total += 1.0
        elif char in _NARROW:
            total += 0.34
        elif char in _WIDE:
            total += 0.9
        elif char.isupper():
            total += 0.68
        else:
            total += 0.57
    return total * size * (1.06 if bold else 1.0)


def wrap(text: str, size: float, width: float, max_lines: int, bold: bool = False) -> list[str]:
    """Return `text` as at most `max_lines` lines of `width`; text that does not fit is cut with "…".

    Words longer than a line are broken. Lines break at spaces and after hyphens. Empty text gives no lines.
    """

    def fits(line: str) -> bool:
        return text_width(line, size, bold) <= width

    lines: list[str] = []
    line = ""
    for piece in re.findall(r"[^\s-]*-+|[^\s-]+|\s+", clean(text)):
        if fits((line + piece).rstrip()):
            line = (line + piece) if line else piece.lstrip()
            continue
        if line.strip():
            lines.append(line.rstrip())
        line = piece.lstrip()
        while line and not fits(line):
            cut = max(1, next(n for n in range(len(line), -1, -1) if n <= 1 or fits(line[:n])))
            lines.append(line[:cut])
            line = line[cut:]
    if line.strip():
        lines.append(line.rstrip())
    if len(lines) > max_lines:
        last = lines[max_lines - 1]
        while last and not fits(f"{last}…"):
            last = last[:-1]
        lines = [*lines[: max_lines - 1], f"{last.rstrip()}…"]
    return lines


def text_block(
    x: float,
    y: float,
    lines: Sequence[str],
    size: float,
    anchor: str = "start",
    leading: float = 1.2,
    /,
    **attributes: str | float,
) -> ET.Element:
    """Return a text of one or more lines, the first with its baseline at `y`; leading in sizes."""
    attributes = {"fill": INK, **attributes}
    if len(lines) == 1:
        return element("text", lines[0], x=x, y=y, font_size=size, text_anchor=anchor, **attributes)
    spans = (element("tspan", line, x=x, y=y + n * size * leading) for n, line in enumerate(lines))
    return element("text", *spans, font_size=size, text_anchor=anchor, **attributes)


def document(ident: str, title: str, description: str, width: float, height: float, *body: ET.Element) -> str:
    """Return the SVG text of one drawing.

    Parameters
    ----------
    ident : str
        Identifies the drawing in its page; prefix of every id inside.
    title, description : str
        Text for screen readers: the name of the drawing and its content.
    width, height : float
        Intended size of the drawing. [CSS px]
    """
    name = identifier(ident)
    linked = any(True for part in body for _ in part.iter("a"))
    root = element(
        "svg",
        element("title", title, id=f"{name}-title"),
        element("desc", description, id=f"{name}-desc"),
        *body,
        xmlns="http://www.w3.org/2000/svg",
        id=name,
        class_="vector",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        role="group" if linked else "img",  # screen readers cannot reach the content of an image
        aria_labelledby=f"{name}-title {name}-desc",
        font_family=FONT,
        color="var(--ink, #1d1b16)",
        fill="none",
    )
    return write(root)


def write(root: ET.Element) -> str:
    """Return the element as text on one line, with every non-ASCII character as a numeric reference."""
    text: bytes = ET.tostring(root, encoding="us-ascii")
    return text.decode("ascii")
