"""A folder of output, made beside its place and put there in one step: whole, or as it was."""

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
    """Give an empty folder to fill; what is in it then takes the place of the target.

    Nothing is replaced when the body fails, when the target is not vandoc's own, or when a source is
    changed meanwhile. What a killed run left behind is put right first.

    Parameters
    ----------
    target : Path
        Output folder; links are followed.
    kind : str
        What is written.
    sources : Sources
        What the output is made from.

    Yields
    ------
    Path
        The folder to fill. Its folder is for whatever else is needed on the way.

    Raises
    ------
    RefusedError
        When the target may not be replaced.
    VandocError
        When another command writes it, a source was changed, or it cannot be written.
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
            refuse(target, kind, sources)  # in all that time someone may have put something there
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
    """A folder on the same disk as the target, which one process at a time has."""
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
        except FileNotFoundError:  # whoever had it was just done with it
            continue
        if read_mark(folder) is None:
            lock.write(Mark("work").text())
        return lock


def _ours(folder: Path) -> bool:
    """Whether it is empty or marked; one whose mark was cut short holds nothing else."""
    if folder.is_symlink() or not folder.is_dir():
        return False
    mark = read_mark(folder)
    return (mark is not None and mark.kind == "work") or {path.name for path in folder.iterdir()} <= {MARK}


def _emptied(folder: Path) -> None:
    """Take everything away but the mark: as long as anything is left, it must be known whose it is."""
    for path in folder.iterdir():
        if path.name == MARK:
            continue
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink()


def _swap(fresh: Path, target: Path, old: Path) -> None:
    """Put a folder in the place of another; in one step where the system can, so that one is always there."""
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
    """Give each of two folders the name of the other (Linux 3.15 and later); False where that cannot be."""
    if not EXCHANGES:
        return False
    rename = getattr(ctypes.CDLL(None), "renameat2", None)
    here, exchange = -100, 2  # AT_FDCWD, RENAME_EXCHANGE
    if rename is None:
        return False
    return bool(rename(here, os.fsencode(one), here, os.fsencode(other), exchange) == 0)


def _restore(target: Path, old: Path) -> None:
    """Finish a swap that was cut short between its two renames: the old folder is put back."""
    if os.path.lexists(target):
        return
    beside = target.with_name(f".{target.name}.old")  # where versions without marks kept it
    if old.is_dir():
        old.rename(target)
    elif read_mark(beside) is not None:
        beside.rename(target)
