"""Copies of a van file as it was handed over, one for each revision, kept in a folder beside it."""

from vandoc.archive.reading import revisions
from vandoc.archive.revision import Revision, content_of, folder_of
from vandoc.archive.writing import Repaired, keep, one_line, repair

__all__ = [
    "Repaired",
    "Revision",
    "content_of",
    "folder_of",
    "keep",
    "one_line",
    "repair",
    "revisions",
]
