"""The test sheet of one van: what to measure, in which order, and the acceptable range of each reading."""

from vandoc.analysis.commissioning.measurement import (
    PHASES,
    Measurement,
    RecordedReading,
    Verdict,
    judge,
    taken,
)
from vandoc.analysis.commissioning.sheet import sheet
from vandoc.analysis.commissioning.words import measurement_words, say

__all__ = [
    "PHASES",
    "Measurement",
    "RecordedReading",
    "Verdict",
    "judge",
    "measurement_words",
    "say",
    "sheet",
    "taken",
]
