"""Entry of readings, services and replaced parts into a van file."""

from vandoc.doors.recording.entries import (
    add_alarm_test,
    add_reading,
    add_service,
    add_work,
    as_written,
    has_reading,
    has_service,
    settable,
    with_value,
)
from vandoc.doors.recording.journal import Journal, journal_of
from vandoc.doors.recording.prompts import MeasurementPrompt, ask_next, field, in_unit
from vandoc.doors.recording.pulls import add_pulls, pulls_in
from vandoc.doors.recording.sizes import file_before, open_sizes, to_write, with_designations, with_sizes
from vandoc.doors.recording.unknowns import answered, can_be_entered, unit_of, with_known
from vandoc.doors.recording.words import say

__all__ = [
    "Journal",
    "MeasurementPrompt",
    "add_alarm_test",
    "add_pulls",
    "add_reading",
    "add_service",
    "add_work",
    "answered",
    "as_written",
    "ask_next",
    "can_be_entered",
    "field",
    "file_before",
    "has_reading",
    "has_service",
    "in_unit",
    "journal_of",
    "open_sizes",
    "pulls_in",
    "say",
    "settable",
    "to_write",
    "unit_of",
    "with_designations",
    "with_known",
    "with_sizes",
    "with_value",
]
