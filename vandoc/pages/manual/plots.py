"""Plots of the energy budget for pages: the drawing and its text equivalent."""

from dataclasses import dataclass
from typing import Literal

from vandoc.pages.diagram.plots import MonthBar, charge_plot, charge_text, sun_plot, sun_text
from vandoc.pages.manual.text import Markup
from vandoc.physics.energy import BankBudget, Charging


@dataclass(frozen=True)
class Plot:
    """A plot and its text equivalent, which begins with the main statement."""

    svg: Markup
    twin: tuple[str, ...]


def sun_against_need(budget: BankBudget, ident: str) -> Plot | None:
    """Return the plot of solar yield against consumption by month; None without latitude or panels."""
    if not budget.months:
        return None
    bars = [MonthBar(m.month, m.sun.low, m.sun.high, m.need.high, m.used) for m in budget.months]
    return Plot(Markup(sun_plot(ident, bars)), tuple(sun_text(bars)))


def charge_over_time(way: Charging, name: str, ident: str) -> Plot:
    """Return the plot of a charge over time, best and worst case, in hours (solar: in days)."""
    unit: Literal["hours", "days"] = "days" if way.feed.source == "solar" else "hours"
    quick = [(point.hours, point.soc) for point in way.quick]
    slow = [(point.hours, point.soc) for point in way.slow]
    drawing = charge_plot(ident, name, quick, slow, unit)
    return Plot(Markup(drawing), tuple(charge_text(name, quick, slow, unit)))
