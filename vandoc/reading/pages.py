"""Check that the workshop's folder of pages can be read."""

import os
from collections.abc import Iterator
from pathlib import Path

from vandoc.ground.errors import Location, Problem
from vandoc.ground.messages import Messages

say = Messages("vandoc.reading", "pages").say

MARKDOWN = (".md", ".markdown")


def unreadable(root: Path, shown: str) -> Iterator[Problem]:
    """Yield a problem for each unreadable folder or file, and for names and pages that are not text.

    Parameters
    ----------
    root : Path
        Folder of pages; it may be missing.
    shown : str
        Name to show in errors.
    """

    def problem(path: str, message: str, line: int = 1, column: int = 1) -> Problem:
        name = os.path.relpath(path, root)
        file = shown if name == os.curdir else f"{shown}/{name}"
        text = file.encode("utf-8", "backslashreplace").decode()
        return Problem(Location(text, line, column), message)

    def closed(error: OSError) -> Problem:
        return problem(str(error.filename), say("cannot_read_correct", reason=error.strerror))

    errors: list[OSError] = []
    for folder, folders, names in os.walk(root, onerror=errors.append):
        for name in sorted((*folders, *names)):
            path = os.path.join(folder, name)  # noqa: PTH118 (not every name makes a Path that can be shown)
            if name != name.encode("utf-8", "replace").decode():
                yield problem(path, say("name_not_utf_8_text"))
            elif name in names:
                try:
                    raw = Path(path).read_bytes() if Path(path).is_file() else b""
                    if name.lower().endswith(MARKDOWN):
                        raw.decode("utf-8-sig")
                except UnicodeDecodeError as error:
                    line = raw.count(b"\n", 0, error.start) + 1
                    column = error.start - raw.rfind(b"\n", 0, error.start)
                    yield problem(path, say("byte_not_utf_8_text"), line, column)
                except OSError as error:
                    yield closed(error)
    missing = (FileNotFoundError, NotADirectoryError)
    yield from (closed(error) for error in errors if not isinstance(error, missing))
