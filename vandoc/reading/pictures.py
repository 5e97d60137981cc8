"""Whether a file that is named as a picture can be one."""

from pathlib import Path
from typing import Literal

from vandoc.ground.messages import Messages

say = Messages("vandoc.reading", "pictures").say

PICTURE_TYPES = {
    ".jpg": b"\xff\xd8\xff",
    ".jpeg": b"\xff\xd8\xff",
    ".png": b"\x89PNG\r\n\x1a\n",
    ".webp": b"RIFF",
}
MAX_PICTURE_BYTES = 8_000_000


Owner = Literal["van_file", "workshop_file"]


def picture_fault(file: Path, root: Path, owner: Owner = "van_file") -> str | None:
    """Return why a file cannot be used as a picture; None if it can.

    Parameters
    ----------
    file : Path
        Links followed.
    root : Path
        Folder in which it must be; links followed.
    owner : {"van_file", "workshop_file"}
        File whose folder that is.
    """
    if not file.is_relative_to(root):
        return say("outside_folder_move", owner=say(owner))
    start = PICTURE_TYPES.get(file.suffix.lower())
    if start is None:
        return say("not_picture_use", types=", ".join(PICTURE_TYPES))
    try:
        if not file.is_file():
            return say("not_found_check_path")
    except OSError:  # a name that the file system rejects
        return say("not_found_check_path")
    try:
        if file.stat().st_size > MAX_PICTURE_BYTES:
            return say("over_mb_reduce_size", mb=MAX_PICTURE_BYTES // 1000000)
        with file.open("rb") as stream:
            if not stream.read(16).startswith(start):
                return say("not_format", suffix=file.suffix)
    except OSError as error:
        return say("cannot_read", reason=error.strerror)
    return None
