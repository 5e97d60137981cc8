"""Output folder built under a temporary name and swapped into place in one step, complete or unchanged."""

import ctypes
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from vandoc.doors.output.lock import Lock
from vandoc.doors.output.making import make_folders, remove_empty
from vandoc.doors.output.mark import MARK, WORDS, Kind, Mark, mark_of, read_mark
from vandoc.doors.output.sources import Sources
from vandoc.doors.output.target import Refusal, RefusedError, refuse
from vandoc.ground.errors import VandocError

FRESH, OLD = "site", "old"
EXCHANGES = sys.platform.startswith("linux")


@contextmanager
def fresh_folder(target: Path, kind: Kind, sources: Sources) -> Iterator[Path]:
    """Yield an empty folder to fill; its content then replaces the target.

    Nothing is replaced if the body fails, if the target was not written by vandoc, or if a source changes
    in the meantime. The remains of an interrupted run are put in order first.

    Parameters
    ----------
    target : Path
        Output folder; links are followed.
    kind : str
        Kind of output.
    sources : Sources
        Sources of the output.

    Yields
    ------
    Path
        Folder to fill. Its parent is for other temporary files.

    Raises
    ------
    RefusedError
        If the target may not be replaced.
    VandocError
        If another command writes it, a source was changed, or it cannot be written.
    """
    refuse(target, kind, sources)
    real = Path(os.path.realpath(target))
    before = sources.state()
    made: list[Path] = []
    try:
        made = make_folders(real.parent)
        with _workplace(real, target) as work:
            fresh = work / FRESH
            fresh.mkdir()
            yield fresh
            (fresh / MARK).write_text(mark_of(fresh, kind).text(), "utf-8")
            _unchanged(before, sources.state())
            refuse(target, kind, sources)  # another process may have created something there in the meantime
            _swap(fresh, real, work / OLD)
    except OSError as error:
        reason = error.strerror or str(error)
        raise VandocError(WORDS.say("unwritable", path=error.filename or target, reason=reason)) from error
    finally:
        remove_empty(made)


def _unchanged(before: dict[Path, tuple[int, int]], now: dict[Path, tuple[int, int]]) -> None:
    changed = sorted({path for path, _ in before.items() ^ now.items()})
    if changed:
        raise VandocError(WORDS.say("changed", path=changed[0]))


def _workplace_of(target: Path) -> Path:
    return target.with_name(f".{target.name}.new")


@contextmanager
def _workplace(target: Path, shown: Path) -> Iterator[Path]:
    """Work folder on the same disk as the target, locked by one process."""
    folder = _workplace_of(target)
    lock = _locked(folder, shown)
    try:
        _restore(target, folder / OLD)
        _emptied(folder)
        yield folder
    finally:
        with suppress(OSError):
            _emptied(folder)
            lock.remove()
            folder.rmdir()
        lock.release()


def _locked(folder: Path, shown: Path) -> Lock:
    while True:
        if os.path.lexists(folder) and not _ours(folder):
            raise RefusedError(Refusal("foreign", folder))
        folder.mkdir(exist_ok=True)
        try:
            lock = Lock(folder / MARK)
        except BlockingIOError as error:
            raise VandocError(WORDS.say("busy", target=shown)) from error
        except FileNotFoundError:  # the process that held it has just finished
            continue
        if read_mark(folder) is None:
            lock.write(Mark("work").text())
        return lock


def _ours(folder: Path) -> bool:
    """Whether a folder is empty or marked; a folder with an incomplete mark contains nothing else."""
    if folder.is_symlink() or not folder.is_dir():
        return False
    mark = read_mark(folder)
    return (mark is not None and mark.kind == "work") or {path.name for path in folder.iterdir()} <= {MARK}


def _emptied(folder: Path) -> None:
    """Remove everything but the mark, which must identify the folder as long as it has content."""
    for path in folder.iterdir():
        if path.name == MARK:
            continue
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink()


def _swap(fresh: Path, target: Path, old: Path) -> None:
    """Replace one folder by another; in one step if the system supports it, so that one always exists."""
    if target.exists() and _exchanged(fresh, target):
        return
    if target.exists():
        target.rename(old)
    try:
        fresh.rename(target)
    except OSError:
        if old.exists():
            old.rename(target)
        raise


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange the names of two folders (Linux 3.15 and later); False if not supported."""
    if not EXCHANGES:
        return False
    rename = getattr(ctypes.CDLL(None), "renameat2", None)
    here, exchange = -100, 2  # AT_FDCWD, RENAME_EXCHANGE
    if rename is None:
        return False
    return bool(rename(here, os.fsencode(one), here, os.fsencode(other), exchange) == 0)


def _restore(target: Path, old: Path) -> None:
    """Complete a swap that was interrupted between its two renames: the old folder is restored."""
    if os.path.lexists(target):
        return
    beside = target.with_name(f".{target.name}.old")  # its name in versions without marks
    if old.is_dir():
        old.rename(target)
    elif read_mark(beside) is not None:
        beside.rename(target)
