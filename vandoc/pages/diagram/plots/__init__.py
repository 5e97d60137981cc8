"""Plots as vector drawings, each with a text version.

The title states the message, names are next to what they name, and each scale starts at zero.
"""

from vandoc.pages.diagram.plots.charge import charge_plot, charge_text
from vandoc.pages.diagram.plots.sun import MonthBar, sun_plot, sun_text
from vandoc.pages.diagram.plots.trend import Course, trend_plot, trend_text
from vandoc.pages.diagram.plots.voltage import VoltageStep, voltage_plot, voltage_text

__all__ = [
    "Course",
    "MonthBar",
    "VoltageStep",
    "charge_plot",
    "charge_text",
    "sun_plot",
    "sun_text",
    "trend_plot",
    "trend_text",
    "voltage_plot",
    "voltage_text",
]
