"""Loads, circuits and cables of a van file as a table for a spreadsheet, and back."""

from vandoc.doors.exchange.merging import Change, Merged, merged
from vandoc.doors.exchange.readings import FIELDS, MeterReading, read_readings
from vandoc.doors.exchange.table import Row, Style, as_csv, exported, read_rows
from vandoc.doors.exchange.words import say

__all__ = [
    "FIELDS",
    "Change",
    "Merged",
    "MeterReading",
    "Row",
    "Style",
    "as_csv",
    "exported",
    "merged",
    "read_readings",
    "read_rows",
    "say",
]
