"""Readings, services and what was replaced, entered into a van file."""

from vandoc.recording.asked import Asked, ask_next
from vandoc.recording.entries import (
    add_reading,
    add_service,
    as_written,
    settable,
    with_value,
)
from vandoc.recording.words import say

__all__ = [
    "Asked",
    "add_reading",
    "add_service",
    "as_written",
    "ask_next",
    "say",
    "settable",
    "with_value",
]
