"""Changes to a van file that leave the rest of it as it was written: comments, order, layout.

The text is changed by ruamel.yaml, which keeps comments. Where its way of writing differs from the file's
own, only the lines that the change is about are taken over. What comes out is read again before anything is
written, and must say the same as what went in but for the change.
"""

import io
import os
import stat
import tempfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import YAMLError
from ruamel.yaml.resolver import VersionedResolver
from ruamel.yaml.scalarstring import DoubleQuotedScalarString

from vandoc.ground.disk import exchanged, locked
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.reading.yamltree import MAX_BYTES, decoded, parse, read_raw, stays_text

LAYOUTS = ((2, 4, 2), (2, 2, 0), (4, 4, 2), (4, 6, 4), (4, 2, 0))  # of mappings, of lists, of their dashes
NEW = ".new"  # ends the name of a file that is being written


class ChangedMeanwhileError(VandocError):
    """The file was changed by someone else after it was read."""


class _AllText(VersionedResolver):
    """Takes every plain value for text, so that `on`, `12:30` and `010` are written as they were read."""

    @property
    def versioned_resolver(self) -> Any:
        """No pattern makes a plain value anything but text."""
        return {}


@dataclass(frozen=True)
class Draft:
    """A van file as it was read, to be changed and written back.

    Attributes
    ----------
    path : Path
        The file itself, links followed.
    raw : bytes
        What it held.
    text : str
        The same as text, lines ended by a newline alone.
    """

    path: Path
    raw: bytes
    text: str


def read(path: Path) -> Draft:
    """Read a van file in order to change it.

    Raises
    ------
    SystemFileError
        When it cannot be read.
    """
    real = Path(os.path.realpath(path))
    raw = read_raw(real, str(path))  # read once: what is compared before saving is what the text comes from
    return Draft(real, raw, decoded(raw, str(path)).replace("\r\n", "\n"))


def plain(draft: Draft) -> Any:
    """Return what a draft says, as plain values."""
    return _plain(draft.text)


def changed(draft: Draft, change: Callable[[Any], None]) -> Draft:
    """Return the draft with a change made to it.

    Parameters
    ----------
    draft : Draft
    change : callable
        Is given the file's mapping, in which every value is text, and changes it.

    Raises
    ------
    VandocError
        When the file is no YAML that can be changed.
    """
    written = []
    try:
        for before, after in _rewritten(draft.text, change):
            wanted = _plain(after)
            written.append(after)
            carried = _carried_over(draft.text, before, after)
            with suppress(SystemFileError):
                if _plain(carried) == wanted:
                    return Draft(draft.path, draft.raw, carried)
    except YAMLError as error:
        raise VandocError(f"{draft.path}: cannot be changed; correct its YAML first: {error}") from error
    return Draft(draft.path, draft.raw, written[0])


def save(draft: Draft) -> Draft:
    """Write a draft back; return it as it now stands in the file.

    Whatever happens meanwhile, the file is either as it was or as it shall be, whole.

    Raises
    ------
    ChangedMeanwhileError
        When the file is no longer as it was read.
    VandocError
        When it cannot be written.
    """
    newline = "\r\n" if b"\r\n" in draft.raw else "\n"
    mark = b"\xef\xbb\xbf" if draft.raw.startswith(b"\xef\xbb\xbf") else b""
    raw = mark + draft.text.replace("\n", newline).encode()
    if len(raw) > MAX_BYTES:
        raise VandocError(f"{draft.path}: would be over {MAX_BYTES // 1000} kB; the file is unchanged")
    replace_file(draft.path, raw, expected=draft.raw)
    return Draft(draft.path, raw, draft.text)


def replace_file(path: Path, content: bytes, expected: bytes | None = None) -> None:
    """Put a whole file in the place of another, or of none.

    Parameters
    ----------
    path : Path
    content : bytes
    expected : bytes, optional
        What the file must still hold.

    Raises
    ------
    ChangedMeanwhileError
        When it holds something else, or is gone.
    VandocError
        When it cannot be written; the old one is as it was.
    """
    try:
        with locked(path.parent):
            sweep(path)
            handle, name = tempfile.mkstemp(NEW, f".{path.name}.", path.parent)
            fresh = Path(name)
            try:
                with os.fdopen(handle, "wb") as stream:
                    stream.write(content)
                    stream.flush()
                    os.fsync(stream.fileno())
                mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else 0o666 & ~_umask()
                fresh.chmod(mode)
                if expected is None:
                    fresh.replace(path)
                else:
                    _replace_if(path, fresh, content, expected)
            finally:
                fresh.unlink(missing_ok=True)
            _keep_folder(path.parent)
    except OSError as error:
        raise VandocError(f"{path}: cannot be written: {error.strerror}; the file is unchanged") from error


def sweep(path: Path) -> None:
    """Remove what a killed run left of a file that it was writing."""
    for left in path.parent.glob(f".{path.name}.*{NEW}"):
        left.unlink(missing_ok=True)


def _replace_if(path: Path, fresh: Path, content: bytes, expected: bytes) -> None:
    """Put a file in the place of another that holds what is expected, even if an editor saves at this moment.

    The two change names, and what came out is looked at: what an editor saved after the first look is put
    back. Where the system cannot exchange names, only the first look protects it.
    """
    told = ChangedMeanwhileError(
        f"{path}: changed by someone else after it was read; nothing was written, so run the command again"
    )
    if not path.exists() or path.read_bytes() != expected:
        raise told
    if not exchanged(fresh, path):
        fresh.replace(path)
    elif fresh.read_bytes() != expected:
        exchanged(fresh, path)
        if fresh.read_bytes() != content:  # saved once more since
            exchanged(fresh, path)
        raise told


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _keep_folder(folder: Path) -> None:
    """Have the disk keep the new name, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _plain(text: str) -> Any:
    return parse(text, "van file").plain()


def _rewritten(text: str, change: Callable[[Any], None]) -> Iterator[tuple[str, str]]:
    """Yield the text as ruamel.yaml writes it before and after a change, the layout nearest to it first."""
    lines = text.splitlines()
    found = []
    for number, layout in enumerate(LAYOUTS):
        same = _dumped(text, layout, lambda _: None)
        if same == text:
            yield same, _dumped(text, layout, change)
            return
        near = SequenceMatcher(None, lines, same.splitlines(), autojunk=False).ratio()
        found.append((-near, number, same))
    for _, number, same in sorted(found):
        yield same, _dumped(text, LAYOUTS[number], change)


def _dumped(text: str, layout: tuple[int, int, int], change: Callable[[Any], None]) -> str:
    yaml = YAML(typ="rt")
    yaml.Resolver = _AllText
    yaml.preserve_quotes = True
    yaml.allow_unicode = True
    yaml.width = 1_000_000
    yaml.indent(mapping=layout[0], sequence=layout[1], offset=layout[2])
    tree = yaml.load(text)
    change(tree)
    out = io.StringIO()
    yaml.dump(tree, out)
    return out.getvalue()


def _carried_over(own: str, before: str, after: str) -> str:
    """Make in the file's own lines the change that was made between two writings of it."""
    ours, old, new = (text.splitlines(keepends=True) for text in (own, before, after))
    place = [0] * (len(old) + 1)  # where each line of the old writing stands in the file itself
    for _, a, b, c, d in SequenceMatcher(None, old, ours, autojunk=False).get_opcodes():
        for number in range(a, b):
            place[number] = min(c + number - a, d)
    place[len(old)] = len(ours)
    found, done = [], 0
    for kind, a, b, c, d in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind == "equal":
            continue
        start = place[a]
        if kind == "insert" and new[c].startswith((" ", "-")):
            # What is added to a list stands before the empty lines and comments of the next section.
            while start > done and (not ours[start - 1].strip() or ours[start - 1].startswith("#")):
                start -= 1
        found += ours[done:start]
        found += new[c:d]
        done = start if kind == "insert" else max(start, place[b])
    return "".join([*found, *ours[done:]])


def flow(**entries: Any) -> CommentedMap:
    """Return a mapping that is written on one line; values of None are left out."""
    made = block(**entries)
    made.fa.set_flow_style()
    return made


def block(**entries: Any) -> CommentedMap:
    """Return a mapping that is written line by line; values of None are left out."""
    return CommentedMap((key, as_text(value)) for key, value in entries.items() if value is not None)


def as_text(value: Any) -> Any:
    """Return text so that it is read as text again, though it looks like a number or a truth value."""
    return DoubleQuotedScalarString(value) if isinstance(value, str) and not stays_text(value) else value


def flow_list(values: list[Any]) -> CommentedSeq:
    """Return a list that is written on one line."""
    made = CommentedSeq(values)
    made.fa.set_flow_style()
    return made


def section(tree: Any, key: str) -> Any:
    """Return a list of the file by its key, made at the end of the file where it is not there."""
    if not isinstance(tree.get(key), CommentedSeq):
        tree[key] = CommentedSeq()
    return tree[key]
