"""What several writers of one folder need: one at a time, and two names exchanged in one step."""

import ctypes
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from vandoc.ground.errors import VandocError

PATIENCE_S = 10.0
_HELD: set[Path] = set()  # the folders that this process has locked; a lock may be taken inside itself


def _locking() -> Any:
    """The system's file locks; None where it has none of this kind (Windows)."""
    try:
        return import_module("fcntl")
    except ImportError:
        return None


@contextmanager
def locked(folder: Path, patience_s: float | None = None) -> Iterator[None]:
    """Let no other vandoc process write into a folder in the meantime.

    The folder itself is locked, so that no file is left behind, and the lock ends with its process. Where
    the system cannot lock a folder, nothing is locked.

    Parameters
    ----------
    folder : Path
    patience_s : float, optional
        How long to wait for another process; `PATIENCE_S` when left out. [s]

    Raises
    ------
    VandocError
        When another process still holds it after that time.
    """
    real = Path(os.path.realpath(folder))
    handle = None if real in _HELD else _lock(real, PATIENCE_S if patience_s is None else patience_s)
    if handle is None:
        yield
        return
    _HELD.add(real)
    try:
        yield
    finally:
        _HELD.discard(real)
        os.close(handle)


def _lock(folder: Path, patience_s: float) -> int | None:
    locks = _locking()
    try:
        handle = os.open(folder, os.O_RDONLY) if locks else None
    except OSError:
        return None
    if handle is None:
        return None
    until = time.monotonic() + patience_s
    while True:
        try:
            locks.flock(handle, locks.LOCK_EX | locks.LOCK_NB)
            return handle
        except BlockingIOError as error:
            if time.monotonic() >= until:
                os.close(handle)
                message = f"{folder}: another vandoc command is writing here; try again when it has finished"
                raise VandocError(message) from error
            time.sleep(0.01)
        except OSError:  # a file system without locks
            os.close(handle)
            return None


def lock_file(handle: int) -> bool:
    """Lock an open file for as long as it is open; False when another process holds it.

    Where the system has no such locks, the file counts as locked.
    """
    locks = _locking()
    try:
        if locks is not None:
            locks.flock(handle, locks.LOCK_EX | locks.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:  # a file system without locks
        return True
    return True


def exchanged(one: Path, other: Path) -> bool:
    """Give each of two files or folders the name of the other (Linux 3.15 and later).

    Returns
    -------
    bool
        False where the system cannot; both then keep their names.
    """
    try:
        rename = getattr(ctypes.CDLL(None), "renameat2", None)
    except (OSError, TypeError):  # Windows has no such library
        return False
    here, exchange = -100, 2  # AT_FDCWD, RENAME_EXCHANGE
    if rename is None:
        return False
    return bool(rename(here, os.fsencode(one), here, os.fsencode(other), exchange) == 0)
