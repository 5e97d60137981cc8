"""Loads, circuits and cables of a van file as a table for a spreadsheet, and back."""

from vandoc.doors.exchange.merging import Change, Merged, merged
from vandoc.doors.exchange.table import Row, Style, as_csv, exported, read_rows
from vandoc.doors.exchange.words import say

__all__ = ["Change", "Merged", "Row", "Style", "as_csv", "exported", "merged", "read_rows", "say"]
