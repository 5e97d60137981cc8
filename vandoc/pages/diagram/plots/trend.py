"""Readings over the years, with their trend and limit."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from xml.etree.ElementTree import Element

from vandoc.ground.calc.trend import Trend
from vandoc.ground.figures import day, year_month
from vandoc.pages.diagram.plots.axis import SMALL, WIDTH, Scale, apart, heading, label
from vandoc.pages.diagram.svg import ACCENT, INK, clean, document, element, path
from vandoc.pages.diagram.words import say

PLOT_HEIGHT = 130.0  # of the plot below its title [px]
EXTRAPOLATION_SHARE = 0.5  # extrapolation of the line, as a share of the period of the readings
FORECAST_SHARE = 1.5  # period after the readings in which a limit is forecast, as the same share


@dataclass(frozen=True)
class Course:
    """Readings of one quantity over the years.

    Attributes
    ----------
    name : str
        Name of the quantity.
    readings : tuple of (date, float)
        Readings, oldest first.
    line : Trend or None
        Regression line through the readings, day 0 at the first; None if there are too few.
    limit : float or None
        Limit of the reading.
    """

    name: str
    readings: tuple[tuple[date, float], ...]
    line: Trend | None
    limit: float | None

    @property
    def reaches(self) -> date | None:
        """Return when the line crosses the limit; None if it does not, or not in the forecast period."""
        if self.line is None or self.limit is None:
            return None
        first = self.readings[0][0]
        days, span = self.line.reaches(self.limit), (self.readings[-1][0] - first).days
        return (
            first + timedelta(days=ceil(days - 1e-6)) if span < days <= span * (1 + FORECAST_SHARE) else None
        )


def trend_plot(ident: str, course: Course, show: Callable[[float], str]) -> str:
    """Return the SVG of readings over the years with their trend and limit.

    Parameters
    ----------
    course : Course
        At least one reading.
    show : callable
        Returns a value with its unit as text.

    Raises
    ------
    ValueError
        If there is no reading.
    """
    title = trend_title(course, show)
    head, top = heading(title)
    top += SMALL
    first, last = course.readings[0][0], course.readings[-1][0]
    span = max((last - first).days, 1)
    end = float(span) * (1 + EXTRAPOLATION_SHARE) if course.line else float(span)
    reached = course.reaches
    if reached is not None:
        end = max(end, 1.05 * (reached - first).days)
    values = [value for _, value in course.readings]
    values += [course.limit] if course.limit is not None else []
    values += [course.line.at(0), course.line.at(end)] if course.line else []
    low, high = min(values), max(values)
    room = 0.15 * max(high - low, 1e-6)
    up = Scale(high - low + 2 * room, top + PLOT_HEIGHT, top)
    along = Scale(end, 44, WIDTH - 44)

    def height(value: float) -> float:
        return up.at(value - low + room)  # the change matters here, so the scale need not include zero

    drawn: list[Element] = [head]
    if course.limit is not None:
        y = height(course.limit)
        drawn.append(path("M", 4, y, "H", WIDTH - 4, stroke=INK, stroke_width=1.6, stroke_dasharray="4 3"))
        drawn.append(label(4, y - 10, say("plot.trend_limit", limit=show(course.limit))))
    if course.line is not None:
        line = course.line
        for start, stop, dash in ((0.0, float(span), "none"), (float(span), end, "7 4")):
            (x, y), (far, end_y) = ((along.at(at), height(line.at(at))) for at in (start, stop))
            drawn.append(
                path("M", x, y, "L", far, end_y, stroke=ACCENT, stroke_width=2.2, stroke_dasharray=dash)
            )
    drawn += _readings(course, along, height, show)
    drawn += _days(course, along, top + PLOT_HEIGHT + 20)
    words = "; ".join(trend_text(course, show))
    return document(ident, title, words, WIDTH, top + PLOT_HEIGHT + 34, *drawn)


def _readings(
    course: Course, along: Scale, height: Callable[[float], float], show: Callable[[float], str]
) -> list[Element]:
    first = course.readings[0][0]
    drawn = []
    for number, (read, value) in enumerate(course.readings):
        x, y = along.at((read - first).days), height(value)
        drawn.append(element("circle", cx=x, cy=y, r=4.5, fill=INK))
        if number in (0, len(course.readings) - 1):
            drawn.append(label(x, y + (17 if _falls(course) else -15), show(value), "middle"))
    return drawn


def _falls(course: Course) -> bool:
    """Whether there is more room below the readings; a limit is then above them."""
    return course.limit is not None and course.limit >= course.readings[-1][1]


def _days(course: Course, along: Scale, y: float) -> list[Element]:
    """Return the days of the first and last reading and of crossing the limit."""
    first, reached = course.readings[0][0], course.reaches
    days = [first, course.readings[-1][0]] if len(course.readings) > 1 else [first]
    days += [reached] if reached is not None else []
    places = apart([along.at((one - first).days) for one in days], 74, 30, WIDTH - 30)
    return [label(x, y, year_month(one), "middle") for x, one in zip(places, days, strict=True)]


def trend_title(course: Course, show: Callable[[float], str]) -> str:
    """Return the title of :func:`trend_plot`."""
    if not course.readings:
        raise ValueError("a course needs a reading")
    name, reached = clean(course.name), course.reaches
    last = show(course.readings[-1][1])
    if reached is not None and course.limit is not None:
        return say("plot.trend_reaches", name=name, limit=show(course.limit), when=year_month(reached))
    if course.line is None:
        return say("plot.trend_single", name=name, value=last)
    return say("plot.trend_keeps", name=name, value=last)


def trend_text(course: Course, show: Callable[[float], str]) -> list[str]:
    """Return the text version: the title, each reading, the limit."""
    lines = [trend_title(course, show)]
    lines += [say("plot.trend_point", when=day(read), value=show(value)) for read, value in course.readings]
    if course.limit is not None:
        lines.append(say("plot.trend_limit", limit=show(course.limit)))
    return lines
