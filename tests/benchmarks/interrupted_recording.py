"""Stop `record`, `service` and `revise` at every system call that changes the disk, then run each command.

Run: .venv/bin/python tests/benchmarks/interrupted_recording.py [record] [service] [revise] [--fault ENOSPC]

What a stop leaves is put back before each command. Afterwards the van file and its history must be sound and
nothing that was saved or typed may be gone; after a command that only reads, the stopped one must go on and
end as if it had never been stopped. Prints how many stops and runs there were, and what went wrong.
"""

import argparse
import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType

ours = ModuleType("tests")  # an installed library has a package of this name
ours.__path__ = [str(Path(__file__).parents[1])]
sys.modules["tests"] = ours

from tests.interruption.harness import Call, StrayError, run  # noqa: E402
from tests.interruption.recording import (  # noqa: E402
    JOBS,
    Job,
    calls_of,
    content,
    edited_then_archived,
    go_on,
    put_back,
    said,
    sound,
    van,
)
from vandoc.doors.recording import journal_of  # noqa: E402

READING = ("check", "size", "prove", "build", "print")
WRITING = ("record", "service", "revise", "repair")


def command(name: str, path: Path, out: Path) -> str:
    """Run a command as someone does who knows of no interruption; return what it said."""
    if name == "build":
        return said("build", path, "--out", out / "manual", "--draft")
    if name == "print":
        return said("print", path, "--out", out / "paper", "--only", "labels")
    if name == "record":
        return said("record", path, answers=["y", "stop", "stop"])
    if name == "revise":
        return said("revise", path, "--why", "meanwhile")
    return said(name, path)


def nothing_lost(job: Job, name: str, path: Path, left: dict[str, bytes]) -> None:
    """Every line of the van file is there but for the number of the revision, and so are the answers."""
    now = iter(path.read_text("utf-8").splitlines())
    for line in left["van.yml"].decode().splitlines():
        assert "revision:" in line or any(line == one for one in now), f"lost: {line}"
    journal = journal_of(path, job.command).name
    if journal in left and name != job.command:
        assert content(path)[journal] == left[journal], "lost: answers"


def tried(work: Callable[[], None], what: str, wrong: list[str]) -> None:
    """Do it; note what went wrong."""
    try:
        work()
    except Exception as error:
        wrong.append(f"{what}: {type(error).__name__}: {str(error)[:300]}")


def after(job: Job, call: Call, path: Path, out: Path, found: dict[str, dict[str, bytes]]) -> list[str]:
    """Run each command on what a stop has left; return what went wrong."""
    wrong: list[str] = []
    left = content(path)

    def then(name: str) -> None:
        put_back(path, left)
        command(name, path, out)
        sound(path)
        nothing_lost(job, name, path, left)
        if name in READING:
            go_on(job, path, found["first"], found["last"])

    for name in (*READING, *WRITING):
        tried(lambda name=name: then(name), f"{job.command} stopped at {call}, then {name}", wrong)
    put_back(path, left)
    tried(lambda: edited_then_archived(path), f"{job.command} stopped at {call}, then an edit", wrong)
    return wrong


def main() -> None:
    """Print the counts."""
    parser = argparse.ArgumentParser()
    parser.add_argument("jobs", nargs="*", default=[job.command for job in JOBS])
    parser.add_argument("--fault", default="KILL")
    options = parser.parse_args()
    counts: Counter[str] = Counter()
    wrong: list[str] = []
    begun = time.perf_counter()
    for job in (job for job in JOBS if job.command in options.jobs):
        with TemporaryDirectory() as folder:
            path, out = van(Path(folder) / "van"), Path(folder) / "out"
            for name in READING:
                command(name, path, out)  # loads what is loaded late
            first, last, calls = calls_of(job, path)
            for call in calls:
                put_back(path, first)
                try:
                    run(lambda job=job, path=path: job.run(path), call, options.fault)
                except StrayError as error:
                    wrong.append(f"{job.command} was not stopped at {call}: {error}")
                    continue
                counts[f"{job.command}: stops"] += 1
                counts["commands run after a stop"] += len(READING) + len(WRITING) + 1
                wrong += after(job, call, path, out, {"first": first, "last": last})
        print(f"{job.command}: {len(calls)} calls, {time.perf_counter() - begun:.0f} s", flush=True)
    for what, count in counts.items():
        print(f"{what}: {count}")
    print(f"went wrong: {len(wrong)}", *wrong, sep="\n")


if __name__ == "__main__":
    main()
