"""The voltage drop in the supply and return of a device, step by step."""

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from vandoc.ground.figures import plain, quantity
from vandoc.pages.diagram.plots.axis import SMALL, WIDTH, Scale, heading, label
from vandoc.pages.diagram.svg import ACCENT, HAIRLINE, INK, clean, document, element, path, wrap
from vandoc.pages.diagram.words import say

VALUES_WIDTH = 62.0  # width of the column of voltages on the right [px]


@dataclass(frozen=True)
class VoltageStep:
    """A cable, fuse or contact on a path, and its voltage drop. [V]"""

    label: str
    lost_v: float


def voltage_plot(
    ident: str,
    name: str,
    start_v: float,
    supply: Sequence[VoltageStep],
    back: Sequence[VoltageStep],
    limit_v: float,
) -> str:
    """Return the SVG of the voltage drop in the supply and return of a device, step by step.

    Parameters
    ----------
    name : str
        The device.
    start_v : float
        Voltage at the battery. [V]
    supply, back : sequence of VoltageStep
        Steps of the supply and of the return.
    limit_v : float
        Maximum voltage drop in supply and return together. [V]
    """
    title = voltage_title(name, start_v, supply, back)
    lost = sum(step.lost_v for step in (*supply, *back))
    along = Scale(max(lost, limit_v, 1e-9), 8, WIDTH - VALUES_WIDTH)
    head, y = heading(title)
    drawn = [head]
    first = y
    y = _voltage_row(drawn, y, say("plot.voltage_start"), start_v, 0, 0, along)
    done = 0.0
    for steps, way in ((supply, "plot.voltage_supply"), (back, "plot.voltage_return")):
        for step in _merged(steps, lost):
            text = f"{clean(step.label)} ({say(way)})"
            y = _voltage_row(drawn, y, text, start_v - done - step.lost_v, done, step.lost_v, along)
            done += step.lost_v
    limit = along.at(limit_v)
    drawn[1:1] = [
        path("M", along.at(0), first, "V", y - 4, stroke=INK, stroke_width=1),
        path("M", limit, first, "V", y - 4, stroke=INK, stroke_width=1.6, stroke_dasharray="4 3"),
    ]
    anchor = "end" if limit > WIDTH / 2 else "start"
    drawn.append(label(limit, y + 7, say("plot.voltage_limit", limit=drop(limit_v)), anchor))
    words = "; ".join(voltage_text(name, start_v, supply, back, limit_v))
    return document(ident, title, words, WIDTH, y + 18, *drawn)


def drop(volts: float) -> str:
    """Return a voltage drop with its unit."""
    return plain(quantity(volts, "V"))


def level(volts: float) -> str:
    """Return the voltage at a battery or a device, with its unit."""
    return plain(quantity(volts, "V", places=2))


def voltage_title(
    name: str, start_v: float, supply: Sequence[VoltageStep], back: Sequence[VoltageStep]
) -> str:
    """Return the title of :func:`voltage_plot`."""
    lost = sum(step.lost_v for step in (*supply, *back))
    return say("plot.voltage_title", lost=drop(lost), start=level(start_v), name=clean(name))


def voltage_text(
    name: str, start_v: float, supply: Sequence[VoltageStep], back: Sequence[VoltageStep], limit_v: float
) -> list[str]:
    """Return the text version: the title, each step, the limit."""
    lines = [voltage_title(name, start_v, supply, back)]
    left = start_v
    for steps, way in ((supply, "plot.voltage_supply"), (back, "plot.voltage_return")):
        for step in steps:
            left -= step.lost_v
            text = f"{clean(step.label)} ({say(way)})"
            lines.append(say("plot.voltage_step", label=text, lost=drop(step.lost_v), left=level(left)))
    return [*lines, say("plot.voltage_limit", limit=drop(limit_v))]


def _merged(steps: Sequence[VoltageStep], lost_v: float) -> list[VoltageStep]:
    """Return the significant steps; those below a fiftieth of the total are combined."""
    large = [step for step in steps if step.lost_v >= lost_v / 50]
    rest = sum(step.lost_v for step in steps) - sum(step.lost_v for step in large)
    return [*large, VoltageStep(say("plot.voltage_other"), rest)] if rest > 0 else large


def _voltage_row(
    drawn: list[Element], y: float, text: str, left_v: float, done_v: float, lost_v: float, along: Scale
) -> float:
    """Draw a row with its text above its bar; return the start of the next row."""
    drawn.append(label(WIDTH - 4, y + 8, level(left_v), "end", font_weight="bold"))
    for line in wrap(text, SMALL, WIDTH - VALUES_WIDTH - 20, 2):
        drawn.append(label(13, y + 8, line))
        y += SMALL + 3
    y += 3
    if lost_v > 0:
        start = along.at(done_v)
        drawn.append(path("M", along.at(0), y + 6, "H", start, stroke=HAIRLINE, stroke_width=1.2))
        width = max(1.5, along.at(done_v + lost_v) - start)
        drawn.append(element("rect", x=start, y=y, width=width, height=12, fill=ACCENT))
        y += 18
    return y + 8
