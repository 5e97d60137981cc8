"""Journal of answers beside a van file: they are kept until saved, however the command ends.

One JSON object on each line: first the options of the command, then each answer as given, and the name of
each question whose answer is saved. An incomplete last line is ignored.
"""

import json
import os
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from vandoc.doors.recording.words import say
from vandoc.ground.disk import lock_file
from vandoc.ground.errors import VandocError


class Journal:
    """Answers of one command for one van file; two runs of the command never share it.

    Attributes
    ----------
    path : Path
    options : dict
        Options of the command with which the answers were given.
    resumed : bool
        Whether the answers of an interrupted run are reused.
    """

    def __init__(self, path: Path, handle: int) -> None:
        self.path = path
        self.resumed = False
        self.options: dict[str, Any] = {}
        self._handle = handle
        self._answers: dict[str, list[str]] = {}
        self._saved: set[str] = set()
        self._read()

    @classmethod
    def open(cls, van_file: Path, command: str) -> "Journal":
        """Open the journal of a command; it is created if missing.

        Raises
        ------
        VandocError
            If the command is already running on this file, or the journal cannot be used.
        """
        path = journal_of(van_file, command)
        flags = os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0)
        try:
            while True:
                handle = os.open(path, flags | getattr(os, "O_NONBLOCK", 0), 0o666)
                try:
                    if not stat.S_ISREG(os.fstat(handle).st_mode):
                        raise VandocError(say("journal.damaged", path=path))
                    if not lock_file(handle):
                        raise VandocError(say("journal.busy", path=path, command=command))
                    if path.exists() and path.stat().st_ino == os.fstat(handle).st_ino:
                        return cls(path, handle)
                except BaseException:
                    os.close(handle)
                    raise
                os.close(handle)  # the run that held it has ended and removed it
        except OSError as error:
            raise VandocError(say("journal.cannot_written", path=path, reason=error.strerror)) from error

    @property
    def unfinished(self) -> bool:
        """Whether there are answers from which a run can continue."""
        return bool(self._answers) or bool(self._saved and self.options.get("all"))

    def begin(self, options: Mapping[str, Any]) -> None:
        """Delete the content of the journal and start again."""
        self.options = dict(options)
        self._answers, self._saved = {}, set()
        try:
            os.ftruncate(self._handle, 0)
        except OSError as error:
            raise VandocError(say("journal.cannot_written", path=self.path, reason=error.strerror)) from error
        self._write({"options": self.options})

    def take(self, question: str) -> str | None:
        """Return the next answer that an earlier run received to a question; None if there is none."""
        left = self._answers.get(question) if self.resumed else None
        return left.pop(0) if left else None

    def skipped(self, question: str) -> bool:
        """Whether the interrupted run skipped a question or saved its answer."""
        return self.resumed and (question in self._saved or self._answers.get(question) == [""])

    def saved(self, question: str) -> bool:
        """Whether the answer is saved in the van file."""
        return question in self._saved

    def keep(self, question: str, answer: str) -> None:
        """Keep an answer.

        Raises
        ------
        VandocError
            If it cannot be written.
        """
        self._write({"question": question, "answer": answer})

    def mark_saved(self, question: str) -> None:
        """Note that the answer to a question is in the van file."""
        self._saved.add(question)
        self._write({"saved": question})

    def close(self, *, finished: bool) -> None:
        """Close the journal; remove it if no unsaved answers remain."""
        try:
            if not finished:
                self._read()
            if finished or not self.unfinished:
                self.path.unlink(missing_ok=True)
        except OSError as error:
            raise VandocError(say("journal.cannot_removed", path=self.path, reason=error.strerror)) from error
        finally:
            os.close(self._handle)

    def _write(self, entry: Mapping[str, Any]) -> None:
        line = f"{json.dumps(entry)}\n".encode()
        try:
            size = os.fstat(self._handle).st_size
            if os.write(self._handle, line) < len(line):
                os.ftruncate(self._handle, size)
                raise VandocError(say("journal.full", path=self.path))
            os.fsync(self._handle)
        except OSError as error:
            raise VandocError(say("journal.cannot_written", path=self.path, reason=error.strerror)) from error

    def _read(self) -> None:
        """Read the file; drop an incomplete last line."""
        os.lseek(self._handle, 0, os.SEEK_SET)
        with os.fdopen(os.dup(self._handle), "rb") as stream:
            raw = stream.read()
        whole = raw[: raw.rfind(b"\n") + 1]
        if len(whole) < len(raw):
            os.ftruncate(self._handle, len(whole))
        answers: dict[str, list[str]] = {}
        saved: set[str] = set()
        try:
            lines = [json.loads(line) for line in whole.decode().splitlines()]
            self.options = dict(lines[0]["options"]) if lines else {}
            for entry in lines[1:]:
                if "saved" in entry:
                    saved.add(str(entry["saved"]))
                    answers.pop(entry["saved"], None)
                else:
                    answers.setdefault(str(entry["question"]), []).append(str(entry["answer"]))
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
            raise VandocError(say("journal.damaged", path=self.path)) from error
        self._answers, self._saved = answers, saved


def journal_of(van_file: Path, command: str) -> Path:
    """Return the path of the journal of a command.

    Examples
    --------
    >>> journal_of(Path("sites/teal/van.yml"), "record").name
    'van.record.jsonl'
    """
    real = Path(os.path.realpath(van_file))
    return real.with_name(f"{real.stem}.{command}.jsonl")
