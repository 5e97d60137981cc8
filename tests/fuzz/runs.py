"""One spoilt file, one command, and whether it ended as a command should."""

import gc
import re
import shutil
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random
from time import process_time
from types import FrameType

import mkdocs.__main__
import pytest
from click.testing import CliRunner, Result

from tests.fuzz.mutations import altered_tree, spoilt_text, spoilt_tree
from tests.vans.small import put_into
from vandoc.doors.cli import main

ROOT = Path(__file__).parents[2]
COLLECT_EVERY = 20  # runs; the limit on memory is far above what they leave
MOST_S = 20  # of processor time for one command
PLACED = re.compile(r"(?P<file>[^\n]+?):\d+:\d+: \S")
COUNTED = re.compile(r"(?P<fails>\d+) fail, \d+ review, \d+ note(?:, \d+ reviewed)?\Z")
KINDS = ("van", "part sheet", "workshop", "revision", "page", "configuration")
PAGE = """\
---
title: Our page
search: {exclude: true}
---

# Our page

Text with a [link](index.md), `code`, <b>HTML</b>, [a reference][shop] and <https://example.org/>.

- one
    - two

| a | b |
|---|---|
| 1 | 2 |

[shop]: https://example.org/shop "The shop"
"""
WORKSHOP = (ROOT / "tests/formats/2/workshop/workshop.yml").read_text("utf-8") + (
    "logo: {file: curlew/seat-box.png, alt: a mark}\npart_sheets: [parts]\nlanguage: en\n"
)


class TooLong(BaseException):
    """The command took too much processor time."""


@dataclass(frozen=True)
class Run:
    """What became of one spoilt file.

    Attributes
    ----------
    kind : str
    seed : int
    status : int
    seconds : float
        Of processor time.
    wrong : str
        What is wrong with how the command ended; empty if nothing is.
    """

    kind: str
    seed: int
    status: int
    seconds: float
    wrong: str


class Bench:
    """A folder with copies of the demonstration vans, one file of which is spoilt at a time.

    What is built is the small van: a build reads all pages and settings of any van alike.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        shutil.copytree(ROOT / "sites", folder / "sites")
        (put_into(folder / "sites").parent / "pages").mkdir()
        text = (ROOT / "mkdocs.yml").read_text("utf-8")
        (folder / "mkdocs.yml").write_text(text.replace("sites/curlew", "sites/dunlin"), "utf-8")

    def run(self, kind: str, seed: int) -> Run:
        """Spoil one file by chance and give it to the command that reads it."""
        pick = Random(f"{kind} {seed}")
        target, command = self._chosen(kind, pick)
        before = target.read_bytes() if target.exists() else None
        text = before.decode() if before else WORKSHOP if kind == "workshop" else PAGE
        yaml_text = kind != "page" and "!!" not in text
        chance = pick.random() if yaml_text else 1.0
        spoil = altered_tree if chance < 0.4 else spoilt_tree if chance < 0.75 else spoilt_text
        target.parent.mkdir(exist_ok=True)
        target.write_bytes(spoil(pick, text))
        start = process_time()
        try:
            with pytest.MonkeyPatch.context() as patch, _limited():
                patch.chdir(self.folder)
                door = mkdocs.__main__.cli if command[0] == "mkdocs" else main
                result = CliRunner().invoke(door, command[1:])
            wrong = _wrong(command, result)
            status = result.exit_code
        except TooLong:
            wrong, status = f"more than {MOST_S} s", -1
        finally:
            if before is None:
                target.unlink()
            else:
                target.write_bytes(before)
        if seed % COLLECT_EVERY == 0:
            gc.collect()
        return Run(kind, seed, status, process_time() - start, wrong)

    def _chosen(self, kind: str, pick: Random) -> tuple[Path, list[str]]:
        sites = self.folder / "sites"
        van = pick.choice(["wren", "wren", "heron", "curlew"])
        check = ["vandoc", "check", f"sites/{van}/van.yml"]
        match kind:
            case "van":
                return sites / van / "van.yml", check
            case "part sheet":
                return pick.choice(sorted((sites / "parts").glob("*.yml"))), check
            case "workshop":
                return sites / "workshop.yml", check
            case "revision":
                kept = sorted((sites / "curlew" / "revisions").glob("*.yml"))
                return pick.choice(kept), ["vandoc", "check", "sites/curlew/van.yml"]
            case "page":
                build = ["vandoc", "build", "sites/dunlin/van.yml", "--out", "manuals"]
                return sites / "dunlin" / "pages" / pick.choice(["ours.md", "Other page.md"]), build
            case _:
                return self.folder / "mkdocs.yml", ["mkdocs", "build", "--strict"]


@contextmanager
def _limited() -> Iterator[None]:
    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise TooLong

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, MOST_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def _wrong(command: list[str], result: Result) -> str:
    """What is wrong with how a command ended."""
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        return f"{type(result.exception).__name__}: {result.exception}"
    if "Traceback" in result.output:
        return "a traceback"
    lines = result.stderr.strip().splitlines()
    if command[0] == "mkdocs":
        return "" if result.exit_code in (0, 1) else f"exit status {result.exit_code}"
    if result.exit_code == 2:
        without = [line for line in lines if not _has_place(line, command[1])]
        return f"no place in {without[0]!r}" if without else "" if lines else "no message"
    if command[1] == "build":
        return "" if result.exit_code in (0, 1) else f"exit status {result.exit_code}"
    found = COUNTED.search(result.stdout.strip())
    if result.exit_code not in (0, 1) or found is None:
        return f"exit status {result.exit_code} after {result.output[-200:]!r}"
    return "" if (int(found["fails"]) > 0) == (result.exit_code == 1) else "the status and the count differ"


def _has_place(line: str, name: str) -> bool:
    """Whether a message names file, line and column; what MkDocs says of a page names the page."""
    return bool(PLACED.match(line)) or (name == "build" and ("pages/" in line or ".md" in line))
