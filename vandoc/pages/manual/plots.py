"""Plots of the energy budget as pages show them: the drawing, its message and its twin in words."""

from dataclasses import dataclass
from typing import Literal

from vandoc.pages.diagram.plots import MonthBar, charge_plot, charge_text, sun_plot, sun_text
from vandoc.pages.manual.text import Markup
from vandoc.physics.energy import BankBudget, Charging


@dataclass(frozen=True)
class Plot:
    """A plot and its twin in words, which begins with its message."""

    svg: Markup
    twin: tuple[str, ...]


def sun_against_need(budget: BankBudget, ident: str) -> Plot | None:
    """Return the sun against the need by month; None where latitude or panels are missing."""
    if not budget.months:
        return None
    bars = [MonthBar(m.month, m.sun.low, m.sun.high, m.need.high, m.used) for m in budget.months]
    return Plot(Markup(sun_plot(ident, bars)), tuple(sun_text(bars)))


def charge_over_time(way: Charging, name: str, ident: str) -> Plot:
    """Return the course of a charge at best and at worst, in hours, for the sun in days."""
    unit: Literal["hours", "days"] = "days" if way.feed.source == "solar" else "hours"
    quick = [(point.hours, point.soc) for point in way.quick]
    slow = [(point.hours, point.soc) for point in way.slow]
    drawing = charge_plot(ident, name, quick, slow, unit)
    return Plot(Markup(drawing), tuple(charge_text(name, quick, slow, unit)))
