"""Figures for people: one format for each kind of quantity, so that every page shows the same figure.

A no-break space keeps a figure and its unit on one line; `plain` is for terminals and drawings.
A figure that readers rely on is rounded to the safe side (`Sure`): available down, needed up.
"""

from vandoc.ground.figures.amounts import bare, between, in_unit, plain, quantity, span, stated, unit_word
from vandoc.ground.figures.days import day, month, year_month
from vandoc.ground.figures.numbers import DIGITS, Sure, fixed, number
from vandoc.ground.figures.owners import YEAR_H, owners_number, owners_scales, owners_time, owners_times
from vandoc.ground.figures.times import duration, scale, time_left

__all__ = [
    "DIGITS",
    "YEAR_H",
    "Sure",
    "bare",
    "between",
    "day",
    "duration",
    "fixed",
    "in_unit",
    "month",
    "number",
    "owners_number",
    "owners_scales",
    "owners_time",
    "owners_times",
    "plain",
    "quantity",
    "scale",
    "span",
    "stated",
    "time_left",
    "unit_word",
    "year_month",
]
