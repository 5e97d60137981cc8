"""What to measure on one van, in which order, and what a sound van shows."""

from vandoc.commissioning.measurement import (
    PHASES,
    Measurement,
    RecordedReading,
    Verdict,
    judge,
    taken,
)
from vandoc.commissioning.sheet import sheet
from vandoc.commissioning.words import named, say

__all__ = ["PHASES", "Measurement", "RecordedReading", "Verdict", "judge", "named", "say", "sheet", "taken"]
