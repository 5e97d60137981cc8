"""Changes to a van file that preserve the rest of it: comments, order and layout.

The text is changed by ruamel.yaml, which keeps comments. Where its layout differs from that of the file,
only the changed lines are taken over. The result is read again before it is written, and must equal the
original in everything but the change.
"""

import io
import os
import stat
from collections.abc import Callable, Iterator, Sequence
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

from vandoc.ground.disk import exchanged, locked, staged
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.ground.messages import Messages
from vandoc.reading.yamltree import MAX_BYTES, decoded, parse, read_raw, stays_text

say = Messages("vandoc.reading", "editing").say

INDENTS = ((2, 4, 2), (2, 2, 0), (4, 4, 2), (4, 6, 4), (4, 2, 0))  # of mappings, of lists, of their dashes
TEMPORARY_SUFFIX = ".new"  # suffix of a file while it is being written


class ChangedMeanwhileError(VandocError):
    """The file was changed by someone else after it was read."""


class _AllText(VersionedResolver):
    """YAML resolver that reads every plain value as text: `on`, `12:30` and `010` are written unchanged."""

    @property
    def versioned_resolver(self) -> Any:
        """Add no pattern: plain values are always text."""
        return {}


@dataclass(frozen=True)
class Draft:
    """A van file as read, to be changed and written back.

    Attributes
    ----------
    path : Path
        Path of the file itself, with links resolved.
    raw : bytes
        Content as read.
    text : str
        Content as text, with newline characters as line ends.
    """

    path: Path
    raw: bytes
    text: str


def read(path: Path) -> Draft:
    """Read a van file to change it.

    Raises
    ------
    SystemFileError
        If it cannot be read.
    """
    real = Path(os.path.realpath(path))
    raw = read_raw(real, str(path))  # read once: the text is exactly the content compared before saving
    return Draft(real, raw, decoded(raw, str(path)).replace("\r\n", "\n"))


def plain(draft: Draft) -> Any:
    """Return the content of a draft as plain values."""
    return _plain(draft.text)


def changed(draft: Draft, change: Callable[[Any], None]) -> Draft:
    """Return the draft with a change applied.

    Parameters
    ----------
    draft : Draft
    change : callable
        Function that changes the file's mapping, in which every value is text.

    Raises
    ------
    VandocError
        If the file is not YAML that can be changed.
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
        raise VandocError(say("cannot_changed_correct", path=draft.path, error=error)) from error
    return Draft(draft.path, draft.raw, written[0])


def save(draft: Draft) -> Draft:
    """Write a draft back to its file; return the draft as written.

    If interrupted, the file is either complete and unchanged or complete and new.

    Raises
    ------
    ChangedMeanwhileError
        If the file has changed since it was read.
    VandocError
        If it cannot be written.
    """
    newline = "\r\n" if b"\r\n" in draft.raw else "\n"
    mark = b"\xef\xbb\xbf" if draft.raw.startswith(b"\xef\xbb\xbf") else b""
    raw = mark + draft.text.replace("\n", newline).encode()
    if len(raw) > MAX_BYTES:
        raise VandocError(say("over_kb_file", path=draft.path, kb=MAX_BYTES // 1000))
    replace_file(draft.path, raw, expected=draft.raw)
    return Draft(draft.path, raw, draft.text)


def replace_file(path: Path, content: bytes, expected: bytes | None = None) -> None:
    """Replace a file, or create it, in one step.

    Parameters
    ----------
    path : Path
    content : bytes
    expected : bytes, optional
        Content that the file must still have.

    Raises
    ------
    ChangedMeanwhileError
        If the content differs, or the file no longer exists.
    VandocError
        If it cannot be written; the old file is then unchanged.
    """
    try:
        with locked(path.parent):
            sweep(path)
            mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else None
            fresh = staged(path, content, TEMPORARY_SUFFIX, mode)
            try:
                if expected is None:
                    fresh.replace(path)
                else:
                    _replace_if(path, fresh, content, expected)
            finally:
                with suppress(OSError):  # the file is written; the next run removes what is left beside it
                    fresh.unlink(missing_ok=True)
            _keep_folder(path.parent)
    except OSError as error:
        raise VandocError(say("cannot_written_file", path=path, reason=error.strerror)) from error


def sweep(path: Path) -> None:
    """Remove the partial file left by an interrupted run."""
    for left in path.parent.glob(f".{path.name}.*{TEMPORARY_SUFFIX}"):
        left.unlink(missing_ok=True)


def _replace_if(path: Path, fresh: Path, content: bytes, expected: bytes) -> None:
    """Replace a file that has the expected content, even if an editor saves at that moment.

    The two files exchange names and the replaced one is then checked: if an editor saved after the first
    check, its version is restored. If the system cannot exchange names, only the first check protects it.
    """
    told = ChangedMeanwhileError(say("changed_someone_else", path=path))
    if not path.exists() or path.read_bytes() != expected:
        raise told
    if not exchanged(fresh, path):
        fresh.replace(path)
    elif fresh.read_bytes() != expected:
        exchanged(fresh, path)
        if fresh.read_bytes() != content:  # saved again in the meantime
            exchanged(fresh, path)
        raise told


def _keep_folder(folder: Path) -> None:
    """Flush the directory entry to disk if the system supports it."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _plain(text: str) -> Any:
    return parse(text, "van file").plain()


def _rewritten(text: str, change: Callable[[Any], None]) -> Iterator[tuple[str, str]]:
    """Yield the text as written by ruamel.yaml before and after a change, closest layout first."""
    lines = text.splitlines()
    found = []
    for number, layout in enumerate(INDENTS):
        same = _dumped(text, layout, lambda _: None)
        if same == text:
            yield same, _dumped(text, layout, change)
            return
        near = SequenceMatcher(None, lines, same.splitlines(), autojunk=False).ratio()
        found.append((-near, number, same))
    for _, number, same in sorted(found):
        yield same, _dumped(text, INDENTS[number], change)


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
    """Apply the difference between two written versions to the lines of the file."""
    ours, old, new = (text.splitlines(keepends=True) for text in (own, before, after))
    place = [0] * (len(old) + 1)  # line of the file for each line of the old version
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
            # New list items go before the empty lines and comments of the next section.
            while start > done and (not ours[start - 1].strip() or ours[start - 1].startswith("#")):
                start -= 1
        found += ours[done:start]
        found += new[c:d]
        done = start if kind == "insert" else max(start, place[b])
    return "".join([*found, *ours[done:]])


def flow(**entries: Any) -> CommentedMap:
    """Return a mapping written on one line; values of None are omitted."""
    made = block(**entries)
    made.fa.set_flow_style()
    return made


def block(**entries: Any) -> CommentedMap:
    """Return a mapping written over several lines; values of None are omitted."""
    return CommentedMap((key, as_text(value)) for key, value in entries.items() if value is not None)


def as_text(value: Any) -> Any:
    """Return text quoted so that it is read as text even if it looks like a number or a boolean."""
    return DoubleQuotedScalarString(value) if isinstance(value, str) and not stays_text(value) else value


def flow_list(values: list[Any]) -> CommentedSeq:
    """Return a list written on one line."""
    made = CommentedSeq(values)
    made.fa.set_flow_style()
    return made


def set_at(holder: Any, way: Sequence[str | int], value: Any) -> Any:
    """Set a value in a file's mapping, and return what holds it; mappings on the way are added.

    The short form of a return conductor becomes a mapping where one of its keys is set.
    """
    for step in way[:-1]:
        if isinstance(step, str):
            found = holder.get(step)
            if found is None:
                holder[step] = flow()
            elif isinstance(found, str):
                holder[step] = flow(to=found)
        holder = holder[step]
    holder[way[-1]] = value
    return holder


def section(tree: Any, key: str) -> Any:
    """Return a list of the file by its key; it is added at the end of the file if missing."""
    if not isinstance(tree.get(key), CommentedSeq):
        tree[key] = CommentedSeq()
    return tree[key]
