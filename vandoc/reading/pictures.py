"""Whether a file that is named as a picture can be one."""

from pathlib import Path

PICTURE_TYPES = {
    ".jpg": b"\xff\xd8\xff",
    ".jpeg": b"\xff\xd8\xff",
    ".png": b"\x89PNG\r\n\x1a\n",
    ".webp": b"RIFF",
}
MAX_PICTURE_BYTES = 8_000_000


def picture_fault(file: Path, root: Path, owner: str = "the van file") -> str | None:
    """Return why a file cannot be used as a picture; None if it can.

    Parameters
    ----------
    file : Path
        Links followed.
    root : Path
        Folder in which it must be; links followed.
    owner : str
        File whose folder that is, for the message.
    """
    if not file.is_relative_to(root):
        return f"is outside the folder of {owner}; move it there"
    start = PICTURE_TYPES.get(file.suffix.lower())
    if start is None:
        return f"is not a picture; use one of {', '.join(PICTURE_TYPES)}"
    try:
        if not file.is_file():
            return "was not found; check its path"
    except OSError:  # a name that the file system rejects
        return "was not found; check its path"
    try:
        if file.stat().st_size > MAX_PICTURE_BYTES:
            return f"is over {MAX_PICTURE_BYTES // 1_000_000} MB; reduce its size"
        with file.open("rb") as stream:
            if not stream.read(16).startswith(start):
                return f"is not in the format of its extension {file.suffix!r}; save it again in that format"
    except OSError as error:
        return f"cannot be read: {error.strerror}"
    return None
