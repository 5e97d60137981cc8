"""Charging over time in the best and the worst case."""

from collections.abc import Sequence
from math import inf, isfinite
from typing import Literal
from xml.etree.ElementTree import Element

from vandoc.ground.figures import Sure, duration, plain, stated
from vandoc.pages.diagram.plots.axis import HEIGHT, SMALL, WIDTH, Scale, heading, label, marks, ruler
from vandoc.pages.diagram.svg import ACCENT, INK, clean, document, path, text_width
from vandoc.pages.diagram.words import say

FULL = 0.99
Course = Sequence[tuple[float, float]]
Unit = Literal["hours", "days"]


def charge_plot(
    ident: str,
    name: str,
    quick: Course,
    slow: Course,
    unit: Unit = "hours",
) -> str:
    """Return the SVG of state of charge over time in the best and the worst case.

    Parameters
    ----------
    name : str
        Name of the charger.
    quick, slow : sequence of (float, float)
        Time in hours and state of charge, 0 to 1, from the start; a curve that ends below
        `FULL` does not reach full charge in the period calculated.
    unit : {"hours", "days"}
        Unit of the time scale.

    Raises
    ------
    ValueError
        If a curve has no points.
    """
    title = charge_title(name, quick, slow, unit)
    head, top = heading(title)
    top, left, right = top + SMALL * 1.6, 50.0, WIDTH - 14
    up = Scale(100, top + HEIGHT, top)
    per = 24.0 if unit == "days" else 1.0
    longest = max(_full_at(quick), _full_at(slow)) / per
    span = longest if isfinite(longest) else max(quick[-1][0], slow[-1][0]) / per
    if not isfinite(longest) and isfinite(_full_at(quick)):
        span = min(span, 2 * _full_at(quick) / per)
    across = marks(span, 6)
    along = Scale(across[-1], left, right)
    drawn = [head, label(4, top - SMALL * 1.1, say("plot.charge_axis_full"))]
    drawn += ruler(up, [0, 25, 50, 75, 100], left, right, " %")
    for value in across:
        drawn.append(label(along.at(value), top + HEIGHT + 13, stated(value), "middle"))
    drawn.append(label(right, top + HEIGHT + 31, say(f"plot.charge_axis_{unit}"), "end"))
    for points, key, dash in ((slow, "plot.charge_at_worst", "7 4"), (quick, "plot.charge_at_best", "")):
        shown_points = [(x / per, y) for x, y in points if x / per <= across[-1] + 1e-9]
        steps: list[str | float] = []
        for x, y in _thinned(shown_points):
            steps += ["L" if steps else "M", along.at(x), up.at(100 * y)]
        style: dict[str, str | float] = {"stroke_dasharray": dash} if dash else {}
        drawn.append(path(*steps, stroke=ACCENT if not dash else INK, stroke_width=2.6, **style))
        drawn.append(_curve_name(shown_points, along, up, say(key), below=bool(dash)))
    words = "; ".join(charge_text(name, quick, slow, unit))
    return document(ident, title, words, WIDTH, top + HEIGHT + 44, *drawn)


def charge_title(name: str, quick: Course, slow: Course, unit: Unit = "hours") -> str:
    """Return the title of :func:`charge_plot`."""
    if not quick or not slow:
        raise ValueError("a course of a charge needs its points")
    best, worst = _full_at(quick), _full_at(slow)
    if not isfinite(best):
        return say("plot.charge_never", name=clean(name), time=_time(unit, quick[-1][0], sure="down"))
    if not isfinite(worst):
        return say("plot.charge_quick", name=clean(name), time=_time(unit, best))
    return say("plot.charge_full", name=clean(name), time=_time(unit, best, worst))


def charge_text(name: str, quick: Course, slow: Course, unit: Unit = "hours") -> list[str]:
    """Return the text version: the title, then the time to each quarter of full charge."""
    lines = [charge_title(name, quick, slow, unit)]
    for percent in (25, 50, 75, 90, 99):
        best, worst = _reached(quick, percent / 100), _reached(slow, percent / 100)
        if not isfinite(best) or quick[0][1] >= percent / 100 - 1e-9:
            continue
        if isfinite(worst):
            line = say("plot.charge_point", quick=_time(unit, best), slow=_time(unit, worst), percent=percent)
        else:
            line = say("plot.charge_point_best", quick=_time(unit, best), percent=percent)
        lines.append(line)
    return lines


def _time(unit: Unit, low_h: float, high_h: float | None = None, sure: Sure = "up") -> str:
    return plain(duration(low_h, high_h, sure, in_days=unit == "days"))


def _full_at(points: Course) -> float:
    return _reached(points, FULL)


def _reached(points: Course, part: float) -> float:
    """Return the time until a curve reaches a state of charge, by linear interpolation, or infinity. [h]"""
    before = points[0]
    for point in points:
        if point[1] >= part:
            rise = point[1] - before[1]
            share = (part - before[1]) / rise if rise > 0 else 1.0
            return before[0] + (point[0] - before[0]) * max(0.0, share)
        before = point
    return inf


def _thinned(points: Course, most: int = 120) -> list[tuple[float, float]]:
    step = max(1, len(points) // most)
    return [*points[::step], points[-1]]


def _curve_name(points: Course, along: Scale, up: Scale, text: str, *, below: bool) -> Element:
    """Return the name of a curve: above it at the left, or below it at the right if there is room."""
    start, end = points[0][1], points[-1][1]
    falling = end < start

    def reached(part: float) -> tuple[float, float]:
        goal = start + (end - start) * part
        x, y = next(point for point in points if (point[1] <= goal if falling else point[1] >= goal))
        return along.at(x), up.at(100 * y)

    width = text_width(text, SMALL)
    x, y = reached(0.6)
    if not (falling or below) and x - 8 - width >= along.start_px + 2:
        return label(x - 8, y - 8, text, "end")
    if not (falling or below):
        x, y = reached(0.85)
    return label(min(x + 8, along.end_px - width), y + (-8 if falling else 12), text)
