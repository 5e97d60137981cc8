"""An indicator light: its position on the device, its colour and its pattern, each also in words."""

from typing import Literal
from xml.etree.ElementTree import Element

from vandoc.pages.diagram.svg import (
    ACCENT,
    HAIRLINE,
    INK,
    PAPER,
    TINT,
    clean,
    document,
    element,
    path,
    text_block,
    wrap,
)
from vandoc.pages.diagram.words import say

Pattern = Literal["steady", "slow", "quick", "off", "display"]

WIDTH = 320.0
FACE_WIDTH, FACE_HEIGHT = 104.0, 84.0  # [px]
PERIODS: dict[Pattern, int] = {"slow": 3, "quick": 9}  # on and off times along the bar

_COLOURS = {
    "red": "#c8281e",
    "green": "#2f8f3e",
    "amber": "#e08a00",
    "orange": "#e08a00",
    "yellow": "#e6c619",
    "blue": "#2a66b8",
    "white": "#f4efe2",
}
_UNLIT = {"", "off", "none", "no"}


def light(ident: str, colour_word: str, pattern: Pattern, caption: str) -> str:
    """Return the SVG of a device front with its light, and the colour and pattern in words beside it.

    Parameters
    ----------
    colour_word : str
        Colour of the light; a known colour word is shown in that colour, any other in the accent colour.
    pattern : {"steady", "slow", "quick", "off", "display"}
        Blinking is animated only if the page's style permits; a bar shows the on and off times.
    caption : str
        The device and the light, or the text on the display.

    Raises
    ------
    ValueError
        If `pattern` is none of these.
    """
    if pattern not in ("steady", "slow", "quick", "off", "display"):
        raise ValueError(f"not a pattern of a light: {pattern!r}")
    words = light_text(colour_word, pattern, caption)
    beside = FACE_WIDTH + 20
    heading = wrap(_colour_words(colour_word, pattern), 19, WIDTH - beside - 4, 2, bold=True)
    below = [] if pattern == "display" else wrap(caption, 14, WIDTH - 8, 4)
    saying = say(f"light.pattern_{pattern}")
    texts = [
        text_block(beside, 26, heading, 19, font_weight="bold", class_="label"),
        text_block(beside, 28 + 23 * len(heading), [saying], 16, class_="label"),
        text_block(4, FACE_HEIGHT + 26, below, 14, class_="label muted"),
    ]
    drawn = [_display(caption)] if pattern == "display" else [_lamp(colour_word, pattern)]
    if pattern != "display":
        drawn.append(_time_bar(beside, FACE_HEIGHT - 8, WIDTH - beside - 8, pattern))
    return document(
        ident,
        words[0],
        "; ".join(words),
        WIDTH,
        FACE_HEIGHT + 16 + len(below) * 17,
        _face(pattern),
        *drawn,
        *(text for text in texts if len(text) or text.text),
    )


def light_text(colour_word: str, pattern: Pattern, caption: str) -> list[str]:
    """Return the text version: colour and pattern, then the caption."""
    title = say(
        "light.title", colour=_colour_words(colour_word, pattern), pattern=say(f"light.pattern_{pattern}")
    )
    return [title, clean(caption)] if clean(caption) else [title]


def _is_unlit(colour_word: str, pattern: Pattern) -> bool:
    return pattern == "off" or clean(colour_word).casefold() in _UNLIT


def _colour_words(colour_word: str, pattern: Pattern) -> str:
    if pattern == "display":
        return say("light.display")
    if clean(colour_word).casefold() in _UNLIT:
        return say("light.off")
    return say("light.colour", colour=clean(colour_word))


def _face(pattern: Pattern) -> Element:
    """Return a plain enclosure with fixing lugs and a row of terminals."""
    box = element(
        "rect", x=4, y=4, width=FACE_WIDTH, height=FACE_HEIGHT, rx=9, fill=TINT, stroke=INK, stroke_width=1.8
    )
    top = FACE_HEIGHT - 14
    terminals = [
        element("rect", x=18 + 20 * n, y=top, width=14, height=9, rx=2, stroke=HAIRLINE, stroke_width=1.4)
        for n in range(4)
    ]
    grooves = [path("M", 16, 22 + 9 * n, "H", 50, stroke=HAIRLINE, stroke_width=1.4) for n in range(4)]
    return element("g", box, *terminals, *([] if pattern == "display" else grooves), class_="device")


def _lamp(colour_word: str, pattern: Pattern) -> Element:
    x, y, radius = 76.0, 37.0, 11.0
    if _is_unlit(colour_word, pattern):
        dot = element("circle", cx=x, cy=y, r=radius, fill=PAPER, stroke=INK, stroke_width=1.6)
        return element("g", dot, class_="lamp unlit")
    colour = _COLOURS.get(clean(colour_word).casefold(), ACCENT)
    rays = []
    for n in range(8):
        dx, dy = ((1, 0), (0.707, 0.707), (0, 1), (-0.707, 0.707))[n % 4]
        sign = 1 if n < 4 else -1
        rays += [
            *("M", x + sign * dx * (radius + 4), y + sign * dy * (radius + 4)),
            *("l", sign * dx * 5, sign * dy * 5),
        ]
    moving = f" blink-{pattern}" if pattern in PERIODS else ""
    return element(
        "g",
        element("circle", cx=x, cy=y, r=radius, fill=PAPER, stroke=INK, stroke_width=1.6),
        element(
            "g",
            element("circle", cx=x, cy=y, r=radius, fill=colour, stroke=INK, stroke_width=1.6),
            path(*rays, stroke=INK, stroke_width=1.6, stroke_linecap="round"),
            class_=f"lit{moving}",
        ),
        class_="lamp",
    )


def _display(caption: str) -> Element:
    lines = wrap(caption, 11, FACE_WIDTH - 28, 3)
    first = 38 - (len(lines) - 1) * 6.5
    return element(
        "g",
        element(
            "rect",
            x=14,
            y=12,
            width=FACE_WIDTH - 20,
            height=50,
            rx=3,
            fill=PAPER,
            stroke=INK,
            stroke_width=1.4,
        ),
        *([text_block(14 + (FACE_WIDTH - 20) / 2, first + 3, lines, 11, "middle")] if lines else []),
        class_="screen",
    )


def _time_bar(x: float, y: float, width: float, pattern: Pattern) -> Element:
    """Return the pattern over time, from left to right: a thick bar is on, a thin line is off."""
    parts = [path("M", x, y, "H", x + width, stroke=HAIRLINE, stroke_width=1.2)]
    if pattern in PERIODS:
        step = width / (2 * PERIODS[pattern])
        spans = [(x + 2 * n * step, step) for n in range(PERIODS[pattern])]
    else:
        spans = [] if pattern == "off" else [(x, width)]
    for start, length in spans:
        parts.append(element("rect", x=start, y=y - 4, width=length, height=8, fill=INK))
    return element("g", *parts, class_="time")
