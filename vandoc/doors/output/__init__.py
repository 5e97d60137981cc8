"""Output: where vandoc may write. It never replaces sources or files of others, and writes all or nothing."""

from vandoc.doors.output.creating import create_files
from vandoc.doors.output.folder import fresh_folder
from vandoc.doors.output.lock import Lock
from vandoc.doors.output.mark import MARK, WORDS, Mark, mark_of, read_mark
from vandoc.doors.output.sources import Sources, sources_near, sources_of
from vandoc.doors.output.target import (
    Refusal,
    RefusedError,
    name_of,
    refusal,
    refuse,
    refuse_file,
    refuse_folder,
)

__all__ = [
    "MARK",
    "WORDS",
    "Lock",
    "Mark",
    "Refusal",
    "RefusedError",
    "Sources",
    "create_files",
    "fresh_folder",
    "mark_of",
    "name_of",
    "read_mark",
    "refusal",
    "refuse",
    "refuse_file",
    "refuse_folder",
    "sources_near",
    "sources_of",
]
