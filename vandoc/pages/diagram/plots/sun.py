"""Solar charge and consumption by month."""

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from vandoc.ground.figures import month, plain, quantity, span
from vandoc.pages.diagram.plots.axis import HEIGHT, SMALL, WIDTH, Scale, apart, heading, label, marks, ruler
from vandoc.pages.diagram.svg import ACCENT, INK, TINT, document, element, path
from vandoc.pages.diagram.words import WORDS, say

LEFT, RIGHT = 38.0, 232.0  # of the bars; names are on the right
GAP = 17.0


@dataclass(frozen=True)
class MonthBar:
    """Solar charge and consumption in a month, per day.

    Attributes
    ----------
    month : int
        1 to 12.
    low, high : float
        Solar charge in a cloudy and in a sunny region. [Ah]
    need : float
        Consumption. [Ah]
    used : bool
        Whether the van is used in it.
    """

    month: int
    low: float
    high: float
    need: float
    used: bool = True


def sun_plot(ident: str, months: Sequence[MonthBar]) -> str:
    """Return the SVG of solar charge and consumption by month.

    Parameters
    ----------
    months : sequence of MonthBar
        One to twelve, in order.

    Raises
    ------
    ValueError
        If there is no month.
    """
    title = sun_title(months)
    head, top = heading(title)
    top += SMALL * 1.6
    values = marks(max(max(bar.high, bar.need) for bar in months), 4)
    scale = Scale(values[-1], top + HEIGHT, top)
    pitch = (RIGHT - LEFT) / len(months)
    drawn = [
        head,
        label(4, top - SMALL * 1.1, say("plot.sun_unit")),
        *ruler(scale, values, LEFT, RIGHT),
    ]
    need: list[str | float] = []
    for place, bar in enumerate(months):
        left = LEFT + pitch * (place + 0.16)
        drawn += _sun_bar(scale, bar, left, pitch * 0.68)
        edge = LEFT + pitch * place
        need += ["L" if need else "M", edge, scale.at(bar.need), "H", edge + pitch]
        weight = "bold" if bar.used else "normal"
        letter = WORDS["plot.month_letters"][bar.month - 1]
        drawn.append(label(left + pitch * 0.34, top + HEIGHT + 13, letter, "middle", font_weight=weight))
    drawn.append(path(*need, stroke=INK, stroke_width=2.4, class_="need"))
    last = months[-1]
    wanted = [scale.at(last.need), scale.at((last.low + last.high) / 2), scale.at(last.low / 2)]
    names = [say("plot.sun_need"), say("plot.sun_bright"), say("plot.sun_dull")]
    for name, target, y in zip(names, wanted, apart(wanted, GAP, top, top + HEIGHT - 2), strict=True):
        start = RIGHT if name == names[0] else RIGHT - pitch * 0.16
        drawn.append(path("M", start, target, "L", RIGHT + 8, y, stroke=INK, stroke_width=1))
        drawn.append(label(RIGHT + 11, y, name))
    return document(ident, title, "; ".join(sun_text(months)), WIDTH, top + HEIGHT + 26, *drawn)


def sun_title(months: Sequence[MonthBar]) -> str:
    """Return the title of :func:`sun_plot` for the months of use, or for all months."""
    if not months:
        raise ValueError("a plot of the sun needs at least one month")
    used = [bar for bar in months if bar.used] or list(months)
    sure = [bar for bar in used if bar.low >= bar.need]
    perhaps = [bar for bar in used if bar.high >= bar.need]
    if len(sure) == len(used):
        return say("plot.sun_always")
    if len(sure) > len(used) / 2:
        return say("plot.sun_most", months=_named([bar for bar in used if bar not in sure]))
    if sure:
        return say("plot.sun_some", months=_named(sure))
    return say("plot.sun_perhaps", months=_named(perhaps)) if perhaps else say("plot.sun_never")


def sun_text(months: Sequence[MonthBar]) -> list[str]:
    """Return the text version: the title, then each month."""
    lines = [sun_title(months)]
    for bar in months:
        key = "plot.sun_month" if bar.used else "plot.sun_unused"
        charge = span(bar.low, bar.high, "Ah", sure="down", places=0)
        need = quantity(bar.need, "Ah", sure="up", places=0)
        lines.append(say(key, month=month(bar.month), charge=plain(charge), need=plain(need)))
    return lines


def _named(bars: Sequence[MonthBar]) -> str:
    names = [month(bar.month) for bar in bars]
    return say("plot.and").join(filter(None, (", ".join(names[:-1]), names[-1])))


def _sun_bar(scale: Scale, bar: MonthBar, left: float, width: float) -> list[Element]:
    ground, low, high = scale.at(0), scale.at(bar.low), scale.at(bar.high)
    frame: dict[str, str | float] = {"x": left, "width": width, "stroke": ACCENT, "stroke_width": 1.2}
    faint: dict[str, str | float] = {} if bar.used else {"opacity": 0.45}
    return [
        element("rect", y=high, height=low - high, fill=TINT, **frame, **faint),
        element("rect", y=low, height=ground - low, fill=ACCENT, **frame, **faint),
    ]
