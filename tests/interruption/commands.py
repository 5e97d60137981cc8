"""Commands that make output, each with what must hold after it was interrupted, and after it is run again."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from click.testing import CliRunner
from mkdocs.__main__ import cli as mkdocs

from tests.interruption.harness import Call, Ended, changing_calls, run
from tests.output.vans import CONFIG, everything, make
from vandoc.doors.cli import main
from vandoc.doors.output import MARK, Mark, folder
from vandoc.reading.loader import load
from vandoc.reading.starter import writer

SOURCES = ("tern", "parts", "docs", "mkdocs.yml")


@dataclass
class Subject:
    """A command on a small van in a folder of its own.

    Attributes
    ----------
    name : str
    home : Path
        An empty folder.
    work : callable
        Runs the command in `home`; returns its exit status and what it said, or raises an error.
    out : str
        Where it writes, in `home`.
    earlier : callable or None
        Makes what the command finds there.
    """

    name: str
    home: Path
    work: Callable[[], str]
    out: str
    earlier: Callable[[], object] | None = None
    kept: Path = field(init=False)
    old: dict[str, bytes | str] = field(init=False)
    new: dict[str, bytes | str] = field(init=False)
    sources: dict[str, bytes | str] = field(init=False)
    calls: tuple[Call, ...] = field(init=False)

    def __post_init__(self) -> None:
        """Make the van, what an earlier run left, and what a run that nobody interrupts makes of them."""
        van_file = make(self.home)
        (self.home / "mkdocs.yml").write_text(CONFIG.format(site="site"))
        if self.earlier is not None:
            self.earlier()
            van_file.write_text(f"{van_file.read_text('utf-8')}\n# edited since\n", "utf-8")
            (van_file.parent / "pages/second.md").write_text("# Second\n")
        self.kept = self.home.with_name(f"{self.home.name}.kept")
        shutil.copytree(self.home, self.kept, symlinks=True)
        self.sources = self._sources()
        self.old = everything(self.home / self.out)
        self.work()  # reads and compiles what is read and compiled once
        self.put_back()
        self.calls = changing_calls(self.work)
        self.new = everything(self.home / self.out)

    def put_back(self) -> None:
        """Have everything as it was before the command."""
        shutil.rmtree(self.home)
        shutil.copytree(self.kept, self.home, symlinks=True)

    def interrupted(self, call: Call, fault: str) -> list[str]:
        """Interrupt the command at a call, then run it again; return what is wrong afterwards."""
        self.put_back()
        ended = run(self.work, call, fault)
        wrong = self._lost() + self._unsaid(ended, fault)
        again = run(self.work)
        return [f"{self.name}, {fault} at {call}: {text}" for text in wrong + self._unfinished(again)]

    def _sources(self) -> dict[str, bytes | str]:
        return {name: what for name, what in everything(self.home).items() if name.startswith(SOURCES)}

    def _lost(self) -> list[str]:
        wrong = [] if self._sources() == self.sources else ["a source was changed"]
        if self.name == "mkdocs":  # MkDocs empties the folder before it writes
            return wrong
        now = everything(self.home / self.out)
        held = [now]
        if self.name == "build without exchange" and not now:
            held = [everything(self.home / f"out/.tern.new/{folder.OLD}")]
        if self.name == "new":
            whole = "van.yml" not in now or load(self.home / self.out / "van.yml") is not None
            return wrong + ([] if whole else ["the van file is not whole"])
        return wrong + ([] if held[0] in (self.old, self.new) else ["the output is neither old nor new"])

    def _unsaid(self, ended: Ended, fault: str) -> list[str]:
        if fault == "KILL":
            return [] if ended.killed else ["not killed"]
        if ended.status:
            return [f"a traceback: {ended.text[-400:]}"]
        status, _, said = ended.text.partition("\n")
        done = everything(self.home / self.out)
        if status == "0" and self.name != "new" and done != self.new:
            return ["ended with 0 and is not done"]
        return [] if status == "0" or "cannot be written" in said else [f"ended with {status}: {said[-300:]}"]

    def _unfinished(self, again: Ended) -> list[str]:
        status, _, said = again.text.partition("\n")
        now = everything(self.home / self.out)
        if self.name == "new":
            whole = {"van.yml", "van.schema.json"} <= set(now) and load(self.home / self.out / "van.yml")
            told = status == "0" or "already exists and was not overwritten" in said
            return [] if whole and told else [f"the next run: {again.text[-300:]}, {sorted(now)}"]
        wrong = [] if status == "0" else [f"the next run: {again.text[-300:]}"]
        wrong += [] if now == self.new else ["the next run makes something else"]
        left = {path.name for path in (self.home / self.out).parent.iterdir()} - {*SOURCES, "tern", "site"}
        return wrong + ([f"left behind: {sorted(left)}"] if left else [])


def subjects(base: Path) -> dict[str, Callable[[], Subject]]:
    """Return, by name, what makes each command that writes output; the folder must be empty."""

    def of(name: str, words: list[str], out: str, *, again: bool, cli: object = main) -> Subject:
        home = base / name.replace(" ", "-")
        home.mkdir()

        def work() -> str:
            given = [word.format(home=home) for word in words]
            result = CliRunner().invoke(cli, given)  # type: ignore[arg-type]
            if not isinstance(result.exception, SystemExit | None):
                raise result.exception
            return f"{result.exit_code}\n{result.output}"

        def earlier() -> None:
            if "--only" not in words:
                work()
                return
            printed = home / out
            printed.mkdir(parents=True)
            (printed / "labels.pdf").write_bytes(b"%PDF-1.7 of an earlier run")
            (printed / MARK).write_text(Mark("print", frozenset(["labels.pdf"])).text())

        return Subject(name, home, work, out, earlier if again else None)

    build = ["build", "{home}/tern/van.yml", "--out", "{home}/out", "--draft"]
    printing = ["print", "{home}/tern/van.yml", "--out", "{home}/out", "--draft", "--only", "lists"]

    def new() -> Subject:
        # The schema is the same each time, and takes longer than all the rest.
        writer.json_schema = cache(writer.json_schema)
        return of("new", ["new", "{home}/deep/teal", "--no-input"], "deep/teal", again=False)

    def without_exchange() -> Subject:
        folder._exchanged = lambda *_: False  # type: ignore[assignment]
        return of("build without exchange", build, "out/tern", again=True)

    return {
        "new": new,
        "print": lambda: of("print", printing, "out/tern", again=True),
        "first print": lambda: of("first print", printing, "out/tern", again=False),
        "build": lambda: of("build", build, "out/tern", again=True),
        "first build": lambda: of("first build", build, "out/tern", again=False),
        "mkdocs": lambda: of("mkdocs", ["build", "-f", "{home}/mkdocs.yml"], "site", again=True, cli=mkdocs),
        "build without exchange": without_exchange,
    }
