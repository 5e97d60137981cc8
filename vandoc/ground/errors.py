"""Errors that vandoc raises deliberately; each text is written for the user, without a traceback."""

import re
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Location:
    """Position in a file; line and column count from 1."""

    file: str
    line: int
    column: int

    def __post_init__(self) -> None:
        if not self.file.isprintable():
            object.__setattr__(self, "file", "".join(map(_shown, self.file)))

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, order=True)
class Problem:
    """One problem in a van file or a part sheet."""

    location: Location
    message: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "message", readable(self.message))

    def __str__(self) -> str:
        return f"{self.location}: {self.message}"


_LONG_WORD = re.compile(r"\S{100,}")


def _shown(character: str) -> str:
    """Return a character that a terminal can show; a byte of a name that is not UTF-8 becomes `\\udcff`."""
    return character if character.isprintable() else character.encode("unicode_escape").decode("ascii")


def readable(message: str) -> str:
    """Return one line that a terminal can show: text from a van file may be long or hold control codes."""
    clipped = _LONG_WORD.sub(lambda match: f"{match[0][:60]}…", message)
    plain = "".join(map(_shown, clipped))
    return plain if len(plain) <= 600 else f"{plain[:600]}…"


class VandocError(Exception):
    """Base of all errors whose cause the user can correct."""


class SystemFileError(VandocError):
    """The van file cannot be used; holds every problem found, in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(problem) for problem in self.problems))


class ExtensionError(VandocError):
    """A package of others that extends vandoc is faulty; the text names it with its version."""


class ChecksFailedError(VandocError):
    """The van fails a check, so its manual is not handed over; the text lists each failure."""
