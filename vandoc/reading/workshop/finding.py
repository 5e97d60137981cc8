"""Where the workshop file of a van is: in the folder of the van file or one of the nearest above it."""

import os
import stat
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

NAME = "workshop.yml"
NEAR = 5  # folders that are searched, that of the van file included


def find(van_file: Path) -> Path | None:
    """Return the nearest workshop file above a van file; None if there is none.

    The search ends at the user's home folder, at a folder under version control, where another file system
    begins, and before a folder in which everyone may create files, such as the one for temporary files: a
    file above these was not written for this van.

    Parameters
    ----------
    van_file : Path
        The van file, which need not exist; links in its folder's path are followed.

    Returns
    -------
    Path or None
        It exists, but may be unreadable or no file.
    """
    start = Path(os.path.realpath(van_file.parent))
    for folder in islice(_upwards(start), NEAR):
        found = folder / NAME
        if os.path.lexists(found):
            return found
    return None


def _upwards(start: Path) -> Iterator[Path]:
    home = Path(os.path.realpath(Path("~").expanduser()))
    for folder in (start, *start.parents):
        if folder != start and _shared(folder):
            return
        yield folder
        if folder == home or (folder / ".git").exists() or folder.is_mount():
            return


def _shared(folder: Path) -> bool:
    """Whether everyone may create files there that only their writer may remove."""
    try:
        mode = folder.stat().st_mode
    except FileNotFoundError:  # of a van that is to be created
        return False
    except OSError:
        return True
    return bool(mode & stat.S_ISVTX and mode & stat.S_IWOTH)
