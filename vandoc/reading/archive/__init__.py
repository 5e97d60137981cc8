"""Archived copies of a van file, one for each revision, in a folder beside the file."""

from vandoc.reading.archive.calculated import Calculated, KeptFinding
from vandoc.reading.archive.reading import revisions
from vandoc.reading.archive.revision import KEPT_BY_US, Revision, content_of, folder_of
from vandoc.reading.archive.writing import RepairResult, keep, one_line, repair

__all__ = [
    "KEPT_BY_US",
    "Calculated",
    "KeptFinding",
    "RepairResult",
    "Revision",
    "content_of",
    "folder_of",
    "keep",
    "one_line",
    "repair",
    "revisions",
]
