"""Plots as vector drawings. Each has a twin in words.

The message stands in the title, the names stand at what they name, and each scale begins at zero.
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
