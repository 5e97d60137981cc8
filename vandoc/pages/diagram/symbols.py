"""Our own symbols, in the spirit of IEC 60617: each in a box of 48 by 48, its connections at half height.

Positive current enters at the left and leaves at the right; the return leaves at the bottom. A symbol has no
leads of its own: wires extend to its body, so that an unconnected side stays clean.
"""

from collections.abc import Callable
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from vandoc.model.kinds import kinds
from vandoc.pages.diagram.svg import INK, PAPER, element, path

BOX = 48.0  # [px] side of a symbol's box

_LINE: dict[str, str | float] = {"stroke": INK, "stroke_width": 1.8, "stroke_linecap": "round"}
_BODY: dict[str, str | float] = {**_LINE, "fill": PAPER, "class_": "body"}

Draw = Callable[[], list[Element]]


@dataclass(frozen=True)
class Symbol:
    """A symbol, and the distances of its body from the left, right and lower sides of its box. [px]"""

    draw: Draw
    left: float
    right: float
    below: float = 0.0


def _stroke(*steps: str | float, **attributes: str | float) -> Element:
    return path(*steps, **{**_LINE, **attributes})


def _box(x: float, y: float, width: float, height: float, **attributes: str | float) -> Element:
    return element("rect", x=x, y=y, width=width, height=height, **{**_BODY, **attributes})


def _letter(text: str, y: float, size: float) -> Element:
    return element(
        "text", text, x=24, y=y, font_size=size, text_anchor="middle", fill=INK, font_weight="bold"
    )


def _battery() -> list[Element]:
    return [
        element("circle", cx=24, cy=24, r=2.6, fill=INK),
        _stroke("M", 24, 24, "V", 35, "M", 9, 35, "H", 39),
        _stroke("M", 16, 42, "H", 32, stroke_width=4.2, stroke_linecap="butt"),
        _stroke("M", 24, 42, "V", 48),
        _stroke("M", 41, 32, "h", 6, "m", -3, -3, "v", 6, "M", 37, 43, "h", 6, stroke_width=1.4),
    ]


def _fuse() -> list[Element]:
    return [_box(8, 16, 32, 16), _stroke("M", 8, 24, "H", 40)]


def _contact(*more: Element) -> list[Element]:
    dots = [element("circle", cx=x, cy=24, r=2.4, **_BODY) for x in (12, 36)]
    return [_stroke("M", 13.5, 23, "L", 34, 11), *dots, *more]


def _switch() -> list[Element]:
    return _contact()


def _isolator() -> list[Element]:
    return _contact(_stroke("M", 38.4, 15, "V", 33))


def _relay() -> list[Element]:
    link = _stroke("M", 24, 36, "V", 18, stroke_width=1.2, stroke_dasharray="3 2.5")
    return _contact(_box(15, 36, 18, 9), link)


def _frame() -> list[Element]:
    slanted = [("M", x, 30, "l", -6, 9) for x in (14, 24, 34)]
    return [
        _stroke("M", 24, 24, "V", 30),
        _stroke("M", 11, 30, "H", 37, *(step for steps in slanted for step in steps)),
    ]


def _round() -> Element:
    return element("circle", cx=24, cy=24, r=18, **_BODY)


def _direct(x: float, y: float, width: float) -> Element:
    """Return the direct-current symbol: a solid line above a dashed one."""
    third = width / 5
    return _stroke(
        *("M", x, y - 2, "h", width),
        *("M", x, y + 2, "h", third, "m", third, 0, "h", third, "m", third, 0, "h", third),
        stroke_width=1.4,
        stroke_linecap="butt",
    )


def _alternating(x: float, y: float, width: float) -> Element:
    """Return the alternating-current symbol: one wave."""
    half, rise = width / 2, 0.45 * width
    wave = ("q", half / 2, -rise, half, 0, "q", half / 2, rise, half, 0)
    return _stroke("M", x, y, *wave, stroke_width=1.4)


def _generator() -> list[Element]:
    return [_round(), _letter("G", 27, 17), _direct(17, 34, 14)]


def _solar() -> list[Element]:
    arrow = ("l", 7, 7, "m", 0, -4.5, "v", 4.5, "h", -4.5)
    return [
        _box(6, 12, 36, 26),
        _stroke("M", 6, 25, "H", 42, "M", 18, 12, "V", 38, "M", 30, 12, "V", 38, stroke_width=1),
        _stroke("M", 8, 1, *arrow, "M", 21, 1, *arrow, stroke_width=1.4),
    ]


def _converter(before: Callable[..., Element], after: Callable[..., Element]) -> list[Element]:
    slash = _stroke("M", 5, 43, "L", 43, 5, stroke_width=1.4)
    return [_box(5, 5, 38, 38), slash, before(10, 16, 14), after(24, 33, 14)]


def _shunt() -> list[Element]:
    taps = _stroke("M", 14, 32, "V", 40, "H", 18, "M", 34, 32, "V", 40, "H", 30, stroke_width=1.2)
    return [_box(8, 16, 32, 16), taps, _letter("A", 45, 13)]


def _lamp() -> list[Element]:
    return [_round(), _stroke("M", 11.3, 11.3, "L", 36.7, 36.7, "M", 36.7, 11.3, "L", 11.3, 36.7)]


def _load() -> list[Element]:
    arrow = _stroke("M", 15, 24, "H", 33, "M", 27, 18, "L", 33, 24, "L", 27, 30, stroke_linejoin="round")
    return [_box(6, 8, 36, 32), arrow]


def _monitor() -> list[Element]:
    needle = _stroke("M", 13, 32, "A", 12, 12, 0, 0, 1, 35, 32, "M", 24, 33, "L", 30, 20, stroke_width=1.4)
    return [_box(6, 8, 36, 32, rx=3), needle]


def _sheet() -> list[Element]:
    words = _stroke("M", 16, 17, "H", 32, "M", 16, 24, "H", 32, "M", 16, 31, "H", 26, stroke_width=1.3)
    return [_stroke("M", 9, 7, "H", 32, "L", 39, 14, "V", 41, "H", 9, "Z", fill=PAPER, class_="body"), words]


def _board() -> list[Element]:
    """Return a fuse board: a feed, and three fuses."""
    steps: list[str | float] = ["M", 12, 13, "V", 35, "M", 6, 24, "H", 12]
    for row in (13, 24, 35):
        steps += ["M", 12, row, "H", 20, "M", 34, row, "H", 43]
        steps += ["M", 20, row - 3, "H", 34, "V", row + 3, "H", 20, "Z"]
    return [_box(6, 5, 37, 38), _stroke(*steps, stroke_width=1.3)]


SYMBOLS: dict[str, Symbol] = {
    "battery": Symbol(_battery, 24, 24),
    "fuse": Symbol(_fuse, 8, 8, 16),
    "switch": Symbol(_switch, 10, 10),
    "isolator": Symbol(_isolator, 10, 9),
    "relay": Symbol(_relay, 10, 10),
    "earth": Symbol(_frame, 24, 24),
    "frame": Symbol(_frame, 24, 24),
    "corner": Symbol(list, 24, 24),
    "generator": Symbol(_generator, 6, 6, 6),
    "solar": Symbol(_solar, 6, 6, 10),
    "dc-dc": Symbol(lambda: _converter(_direct, _direct), 5, 5, 5),
    "ac-dc": Symbol(lambda: _converter(_alternating, _direct), 5, 5, 5),
    "inverter": Symbol(lambda: _converter(_direct, _alternating), 5, 5, 5),
    "shunt": Symbol(_shunt, 8, 8, 2),
    "lamp": Symbol(_lamp, 6, 6, 6),
    "load": Symbol(_load, 6, 6, 8),
    "monitor": Symbol(_monitor, 6, 6, 8),
    "board": Symbol(_board, 6, 5, 5),
    "sheet": Symbol(_sheet, 9, 9, 7),
}


def symbol_named(name: str) -> Symbol:
    """Return a symbol of ours, or one that a kind of equipment brings with it.

    Raises
    ------
    KeyError
        If there is no such symbol.
    """
    drawing = kinds()[name].drawing if name in kinds() else None
    if name in SYMBOLS or drawing is None:
        return SYMBOLS[name]
    strokes = drawing.strokes
    return Symbol(lambda: [_stroke(*steps) for steps in strokes], drawing.left, drawing.right, drawing.below)


def in_box(kind: str, x: float, y: float, width: float, height: float) -> Element:
    """Return a symbol, a busbar, a joint or the end of a note, as large as a box with its corner at (x, y).

    Raises
    ------
    KeyError
        If there is no such symbol.
    """
    if kind in _SHAPES:
        return element("g", *_SHAPES[kind](x, y, width, height), class_=f"symbol {kind}")
    scale = f" scale({width / BOX:.4g})" if abs(width - BOX) > 0.2 else ""
    shapes = symbol_named(kind).draw()
    return element("g", *shapes, class_=f"symbol {kind}", transform=f"translate({x:.2f} {y:.2f}){scale}")


def _bar(x: float, y: float, width: float, height: float) -> list[Element]:
    return [element("rect", x=x, y=y, width=width, height=height, rx=1.5, fill=INK)]


def _joint(x: float, y: float, width: float, height: float) -> list[Element]:
    return [element("circle", cx=x + width / 2, cy=y + height / 2, r=width / 2, fill=INK)]


def _arrow(x: float, y: float, width: float, height: float) -> list[Element]:
    return [path("M", x, y, "l", width, height / 2, "l", -width, height / 2, "Z", fill=INK)]


def _end_frame(x: float, y: float, width: float, height: float) -> list[Element]:
    """Return the symbol of frame or chassis: a line with three slanted strokes (IEC 60617)."""
    steps: list[str | float] = ["M", x, y + height / 2, "h", width]
    for share in (0.15, 0.5, 0.85):
        steps += ["M", x + share * width, y + height / 2, "l", -5, 7]
    return [_stroke(*steps, stroke_width=1.4)]


def _end_wire(x: float, y: float, width: float, height: float) -> list[Element]:
    middle, end = x + width / 2, y + height / 2
    return [_stroke("M", middle - 4, end - 5, "L", middle, end, "L", middle + 4, end - 5, stroke_width=1.4)]


def _end_bar(x: float, y: float, width: float, height: float) -> list[Element]:
    return [_stroke("M", x, y + height / 2, "h", width, stroke_width=3.6, stroke_linecap="butt")]


_SHAPES: dict[str, Callable[[float, float, float, float], list[Element]]] = {
    "busbar": _bar,
    "joint": _joint,
    "arrow": _arrow,
    "end-bar": _end_bar,
    "end-frame": _end_frame,
    "end-wire": _end_wire,
    "end-signal": _end_wire,
}
