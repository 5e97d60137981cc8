"""Elements that all plots share: a scale with round marks, and labels that do not overlap."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10
from xml.etree.ElementTree import Element

from vandoc.ground.figures import plain, stated
from vandoc.pages.diagram.svg import HAIRLINE, INK, PAPER, path, text_block, wrap

WIDTH = 320.0
HEIGHT = 190.0  # of the plot below its title
SMALL = 13.0
TITLE = 17.0
LINE = 1.25


@dataclass(frozen=True)
class Scale:
    """A linear scale from values, starting at zero, to pixels."""

    most: float
    start_px: float
    end_px: float

    def at(self, value: float) -> float:
        """Return the position of a value. [px]"""
        return self.start_px + (self.end_px - self.start_px) * value / self.most


def marks(most: float, count: int) -> list[float]:
    """Return at most `count` + 1 round values from zero that reach up to `most` or just beyond it.

    >>> marks(83.0, 4), marks(0.4, 4), marks(0.0, 4)
    ([0.0, 50.0, 100.0], [0.0, 0.1, 0.2, 0.3, 0.4], [0.0, 1.0])
    """
    if most <= 1e-6:  # too small to be seen, because marks are rounded
        return [0.0, 1.0]
    rough = most / count
    size = 10.0 ** floor(log10(rough))
    step = next(size * n for n in (1, 2, 5, 10) if size * n >= rough * (1 - 1e-9))
    last = -floor(-most / step * (1 - 1e-9))
    return [round(step * n, 9) for n in range(last + 1)]


def apart(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Return positions near the given ones, in order, at least `gap` apart, from `low` to `high`.

    If there is not enough room, the gap is reduced.

    >>> apart([50.0, 52.0, 90.0], 10.0, 0.0, 100.0)
    [46.0, 56.0, 90.0]
    """
    order = sorted(range(len(wanted)), key=lambda n: (wanted[n], n))
    gap = min(gap, (high - low) / max(1, len(wanted) - 1))
    groups: list[tuple[list[int], float]] = []
    for number in order:
        members = [number]
        while True:
            half = gap * (len(members) - 1) / 2
            middle = sum(wanted[n] for n in members) / len(members)
            middle = min(max(middle, low + half), high - half)
            if not groups or middle - groups[-1][1] >= gap * (len(groups[-1][0]) + len(members)) / 2 - 1e-9:
                break
            members = groups.pop()[0] + members
        groups.append((members, middle))
    places = [0.0] * len(wanted)
    for members, middle in groups:
        for row, number in enumerate(members):
            places[number] = middle + gap * (row - (len(members) - 1) / 2)
    return places


def heading(title: str) -> tuple[Element, float]:
    """Return the title at the top left of a plot, and the height at which the plot starts below it."""
    lines = wrap(title, TITLE, WIDTH - 8, 3, bold=True)
    words = text_block(4, 18, lines, TITLE, "start", LINE, font_weight="bold", class_="label")
    return words, 32 + (len(lines) - 1) * TITLE * LINE


def label(x: float, y: float, text: str, anchor: str = "start", **attributes: str | float) -> Element:
    """Return small text centred at a height, outlined in the background colour to stay readable."""
    halo: dict[str, str | float] = {"stroke": PAPER, "stroke_width": 4}
    return text_block(x, y + SMALL * 0.35, [text], SMALL, anchor, class_="label edged", **(halo | attributes))


def ruler(scale: Scale, values: Sequence[float], left: float, right: float, unit: str = "") -> list[Element]:
    """Return grid lines at the values with their numbers on the left; the zero line is darker."""
    drawn = []
    for value in values:
        y = scale.at(value)
        drawn.append(path("M", left, y, "H", right, stroke=INK if value == 0 else HAIRLINE, stroke_width=1))
        drawn.append(label(left - 6, y, plain(stated(value, unit)), "end"))
    return drawn
