"""What to measure on one van, in which order, and what a sound van shows."""

from vandoc.analysis.commissioning.measurement import (
    PHASES,
    Measurement,
    RecordedReading,
    Verdict,
    judge,
    taken,
)
from vandoc.analysis.commissioning.sheet import sheet
from vandoc.analysis.commissioning.words import named, say

__all__ = ["PHASES", "Measurement", "RecordedReading", "Verdict", "judge", "named", "say", "sheet", "taken"]
