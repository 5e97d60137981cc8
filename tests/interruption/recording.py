"""Commands that write into a van file, stopped at a system call, and what must still be there after it.

Shared by the tests, which take every call, and by a benchmark script, which also runs every other command
on what each stop has left.
"""

import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from click.testing import CliRunner

from tests.interruption.harness import Call, Ended, StrayError, changing_calls, run
from tests.recording.vans import SMALL
from vandoc.doors.cli import main
from vandoc.doors.recording import journal_of
from vandoc.doors.recording.journal import Journal
from vandoc.reading.archive import folder_of, keep, revisions
from vandoc.reading.loader import load

READ = """
commissioning:
  - date: 2026-03-01
    readings:
      - {measure: drop.lamp, value: 52 mV, current: 800 mA}
"""
EDIT = "# one more edit\nuse: {nights: 2}\n"


@dataclass(frozen=True)
class Job:
    """A command with the answers that it is given, one line each.

    Attributes
    ----------
    command : str
    options : tuple of str
    answers : tuple of str
    """

    command: str
    options: tuple[str, ...]
    answers: tuple[str, ...]

    def run(self, path: Path, answers: Sequence[str] | None = None) -> str:
        """Run it; return what it said.

        Raises
        ------
        Exception
            What the command did not catch.
        """
        return said(self.command, path, *self.options, answers=self.answers if answers is None else answers)


JOBS = (
    Job("record", ("--date", "2026-03-14"), ("12 kΩ", "12.7 V", "", "12.6", "stop")),
    Job(
        "service",
        (),
        ("2026-04-01", "Bench", "51000", "lamp", "power: 12 W", "", "", "", "new lamp", "lamp", "60", "0.8"),
    ),
    Job("revise", ("--date", "2026-03-14"), ("a second bunk",)),
)


def said(*arguments: object, answers: Sequence[str] = ()) -> str:
    """Run a command in this process; return what it printed. An error that it does not catch is raised."""
    given = "".join(f"{line}\n" for line in answers)
    result = CliRunner().invoke(main, [str(argument) for argument in arguments], input=given)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return f"{result.exit_code}\n{result.output}"


def van(folder: Path) -> Path:
    """Make a van with one revision and something to record, to replace and to archive."""
    path = folder / "tern/van.yml"
    path.parent.mkdir(parents=True)
    path.write_text(f"{SMALL}{READ}", "utf-8")
    keep(path, "handed over", date(2026, 3, 1))
    path.write_text(path.read_text("utf-8").replace("power: 10 W", "power: 11 W"), "utf-8")
    return path


def content(path: Path) -> dict[str, bytes]:
    """Return every file of a van's folder by its name."""
    root = path.parent
    return {one.relative_to(root).as_posix(): one.read_bytes() for one in root.rglob("*") if one.is_file()}


def calls_of(job: Job, path: Path) -> tuple[dict[str, bytes], dict[str, bytes], tuple[Call, ...]]:
    """Return the files before and after a run that nobody stops, and its calls that change the disk."""
    first = content(path)
    job.run(path)  # so that whatever is loaded late is loaded, and a child opens only the van's files
    put_back(path, first)
    calls = changing_calls(lambda: job.run(path))
    last = content(path)
    assert first != last
    put_back(path, first)
    return first, last, calls


def stop(job: Job, path: Path, first: dict[str, bytes], call: Call, fault: str = "KILL") -> Ended:
    """Put a van's files back, run the command and stop it at a call.

    Python lists a folder of modules again if it has changed, for instance because other tests run. All later
    calls then have another number. What Python has listed is kept by a run that nobody stops, so the command
    is stopped after one such run again.
    """
    put_back(path, first)
    try:
        return run(lambda: job.run(path), call, fault)
    except StrayError:
        put_back(path, first)
        job.run(path)
        put_back(path, first)
        return run(lambda: job.run(path), call, fault)


def put_back(path: Path, files: dict[str, bytes]) -> None:
    """Make a van's folder hold these files and no others."""
    shutil.rmtree(path.parent)
    for name, raw in files.items():
        target = path.parent / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(raw)


def given_already(job: Job, path: Path) -> tuple[int, bool]:
    """Return how many answers the journal has, and whether the next run offers to go on with them."""
    place = journal_of(path, job.command)
    if not place.exists():
        return 0, False
    before = place.read_bytes()
    journal = Journal.open(path, job.command)
    offered = journal.unfinished
    journal.close(finished=False)
    place.write_bytes(before)
    whole = before[: before.rfind(b"\n") + 1].decode().splitlines()
    return sum('"question"' in line and '"trying"' not in line for line in whole), offered


def go_on(job: Job, path: Path, first: dict[str, bytes], last: dict[str, bytes]) -> None:
    """Run the command again with the answers that it does not have yet; it must end as if never stopped."""
    count, offered = given_already(job, path)
    if not offered and not count and path.read_bytes() != first["van.yml"]:
        said("check", path)  # the command had removed its journal, as the last thing it does
    else:
        job.run(path, [*(["y"] if offered else []), *job.answers[count:]])
    now = content(path)
    if now != last:
        lost = {name for name in last if now.get(name) != last[name]}
        raise AssertionError(f"differs from a run that nobody stopped: {lost or set(now) - set(last)}")


def sound(path: Path) -> None:
    """The van file can be read, and its history has no gap."""
    van_file = load(path)
    numbers = [one.number for one in revisions(van_file)]
    assert numbers == list(range(1, van_file.system.van.revision + 1)), numbers
    assert not list(path.parent.rglob("*.new"))
    assert not list(folder_of(path).glob("*.pending"))


def edited_then_archived(path: Path) -> None:
    """One more edit of the van file, then any command, then a new revision."""
    path.write_text(f"{path.read_text('utf-8')}{EDIT}", "utf-8")
    assert "Traceback" not in said("check", path)
    sound(path)
    before = len(revisions(load(path)))
    keep(path, "after the edit", date(2026, 5, 1))
    assert len(revisions(load(path))) == before + 1
    sound(path)
