"""The workshop file: found above the van file, read, and merged into the van file's tree."""

from vandoc.reading.workshop.finding import NAME, find
from vandoc.reading.workshop.folders import declared, folder_fault
from vandoc.reading.workshop.merging import merged
from vandoc.reading.workshop.reading import FoundWorkshop, read_copy, read_workshop

__all__ = [
    "NAME",
    "FoundWorkshop",
    "declared",
    "find",
    "folder_fault",
    "merged",
    "read_copy",
    "read_workshop",
]
