"""File operations for concurrent writers: folder locks and the atomic exchange of two names."""

import ctypes
import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from vandoc.ground.errors import VandocError
from vandoc.ground.messages import ModuleMessages

say = ModuleMessages(__file__).say

PATIENCE_S = 10.0
_HELD: set[Path] = set()  # folders locked by this process; the lock is re-entrant


def _locking() -> Any:
    """The operating system's file locks; None if unavailable (Windows)."""
    try:
        return import_module("fcntl")
    except ImportError:
        return None


@contextmanager
def locked(folder: Path, patience_s: float | None = None) -> Iterator[None]:
    """Lock a folder against writing by other vandoc processes.

    The folder itself is locked, so that no lock file is left behind, and the lock ends with its process. If
    the system cannot lock a folder, nothing is locked.

    Parameters
    ----------
    folder : Path
    patience_s : float, optional
        Time to wait for another process (default: `PATIENCE_S`). [s]

    Raises
    ------
    VandocError
        If another process still holds the lock after that time.
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
                message = say("busy", folder=folder)
                raise VandocError(message) from error
            time.sleep(0.01)
        except OSError:  # a file system without locks
            os.close(handle)
            return None


def lock_file(handle: int) -> bool:
    """Lock an open file until it is closed; return False if another process holds the lock.

    If the system has no such locks, the file counts as locked.
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


def staged(path: Path, content: bytes, suffix: str, mode: int | None = None) -> Path:
    """Write a new file beside a path, under a temporary name and through to the disk.

    Parameters
    ----------
    path : Path
        The name that the file gets later.
    content : bytes
    suffix : str
        Of the temporary name.
    mode : int, optional
        Permissions (default: those of any new file).

    Raises
    ------
    OSError
        If it cannot be written; then nothing is left.
    """
    handle, name = tempfile.mkstemp(suffix, f".{path.name}.", path.parent)
    fresh = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        fresh.chmod(0o666 & ~_umask() if mode is None else mode)
    except BaseException:
        fresh.unlink(missing_ok=True)
        raise
    return fresh


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def exchanged(one: Path, other: Path) -> bool:
    """Exchange the names of two files or folders atomically (Linux 3.15 and later).

    Returns
    -------
    bool
        False if the system cannot; both then keep their names.
    """
    try:
        rename = getattr(ctypes.CDLL(None), "renameat2", None)
    except (OSError, TypeError):  # Windows has no such library
        return False
    here, exchange = -100, 2  # AT_FDCWD, RENAME_EXCHANGE
    if rename is None:
        return False
    return bool(rename(here, os.fsencode(one), here, os.fsencode(other), exchange) == 0)
