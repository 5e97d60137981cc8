"""Kills at random moments: what is on the disk is always whole. `tests/interruption` stops at each call.

Children are forked from a process in which everything is loaded, so that many can be killed in little time.
"""

import os
import random
import signal
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.recording.vans import SMALL, state_sizes
from tests.site.test_publish import snapshot, spoil
from tests.vans.small import SMALL as DUNLIN
from vandoc.doors.cli import main
from vandoc.doors.publish import publish
from vandoc.ground.errors import VandocError
from vandoc.reading import editing
from vandoc.reading.archive import keep, revisions
from vandoc.reading.loader import load

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
SEED = 20260314
PADDING = "# as long as the file of a real van\n" * 200
RECORD = "12 kΩ\n12.7 V\n12.6 V\nstop\n"
SERVICE = "2026-04-01\nBench\n\nlamp\npower: 12 W\n\n\n\nnone\nservice\n"


@pytest.fixture
def tern(tmp_path: Path) -> Path:
    return make_tern(tmp_path)


@pytest.fixture
def dunlin(tmp_path: Path) -> Path:
    """A sound van; its file is larger than the disk is said to be."""
    van_file = tmp_path / "dunlin/van.yml"
    van_file.parent.mkdir()
    van_file.write_text(f"{PADDING}{DUNLIN.read_text('utf-8')}", "utf-8")
    state_sizes(van_file)
    keep(van_file, "handed over", date(2026, 3, 1))
    return van_file


def record(path: Path) -> None:
    CliRunner().invoke(main, ["record", str(path), "--date", "2026-03-14"], input=RECORD)


def service(path: Path) -> None:
    CliRunner().invoke(main, ["service", str(path)], input=SERVICE)


def in_a_child(work: Callable[[], object], after: float | None = None) -> float:
    """Do it in a child that is killed after a while; return how long it took."""
    started = time.perf_counter()
    child = os.fork()
    if child == 0:
        try:
            with Path(os.devnull).open("w") as nothing:
                sys.stdout = sys.stderr = nothing
                work()
        finally:
            os._exit(0)
    if after is not None:
        time.sleep(after)
        os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return time.perf_counter() - started


def states(path: Path, work: Callable[[Path], None], monkeypatch: pytest.MonkeyPatch) -> set[bytes]:
    """Everything that the van file holds in the course of a run that nobody kills."""
    found = {path.read_bytes()}
    real = editing._replace_if

    def noted(*given: object) -> None:
        real(*given)
        found.add(path.read_bytes())

    with monkeypatch.context() as patched:
        patched.setattr(editing, "_replace_if", noted)
        work(path)
    return found


def make_tern(folder: Path) -> Path:
    van_file = folder / "tern/van.yml"
    van_file.parent.mkdir()
    van_file.write_text(SMALL, "utf-8")
    keep(van_file, "handed over", date(2026, 3, 1))
    return van_file


def put_back(kept: dict[str, bytes], folder: Path) -> None:
    for left in sorted(folder.rglob("*"), reverse=True):
        if left.is_file():
            left.unlink()
    for name, content in kept.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)


def whole(path: Path, allowed: set[bytes]) -> None:
    """The van file is one of those of the course, and its revisions are sound."""
    assert path.read_bytes() in allowed
    marks = [one.number for one in revisions(load(path))]
    assert marks == list(range(1, load(path).system.van.revision + 1))


@pytest.mark.parametrize("work", [record, service], ids=["record", "service"])
def test_a_kill_at_any_moment_leaves_the_van_file_and_its_revisions_whole(tern, work, monkeypatch):
    """Thirty moments of each; the benchmark `tests/benchmarks/kills.py` takes hundreds."""
    kill_at_random(tern, work, 30, monkeypatch)


def kill_at_random(
    tern: Path, work: Callable[[Path], None], kills: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = snapshot(tern.parent)
    allowed = states(tern, work, monkeypatch)
    assert len(allowed) > (3 if work is record else 2)
    put_back(before, tern.parent)
    took = in_a_child(lambda: work(tern))
    moments, seen = random.Random(SEED), set()
    for _ in range(kills):
        put_back(before, tern.parent)
        in_a_child(lambda: work(tern), moments.uniform(0, took))
        whole(tern, allowed)
        seen.add(tern.read_bytes())
    assert len(seen) > 1, "some were killed after something was written"


def test_a_kill_at_any_moment_of_a_build_leaves_a_whole_manual(tern, tmp_path):
    out = tmp_path / "out"
    publish(tern, out, draft=True)
    old = snapshot(out / "tern")
    spoil(tern, "\nservices:\n  - {date: 2026-04-01, by: Bench}\n")
    took = in_a_child(lambda: publish(tern, tmp_path / "other", draft=True))
    new = snapshot(tmp_path / "other/tern")
    assert old != new
    moments = random.Random(SEED)
    for _ in range(10):
        in_a_child(lambda: publish(tern, out, draft=True), moments.uniform(0.05, 1) * took)
        assert snapshot(out / "tern") in (old, new)
    publish(tern, out, draft=True)
    assert snapshot(out / "tern") == new
    assert [path.name for path in out.iterdir()] == ["tern"]


@pytest.mark.parametrize("most", [4_000, 30_000])
def test_a_disk_that_takes_no_more_is_told_and_leaves_everything(dunlin, tmp_path, most, capfd):
    """The limit on the size of a file is the system's own, and stops the writing as a full disk does."""
    import resource

    out = tmp_path / "out"
    publish(dunlin, out)
    old, van = snapshot(out / "dunlin"), dunlin.read_bytes()
    spoil(dunlin, "\nservices:\n  - {date: 2026-04-01, by: Bench}\n")
    changed = dunlin.read_bytes()

    def tight() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
        try:
            publish(dunlin, out)
        except VandocError as error:
            (tmp_path / "said").write_text(str(error))

    in_a_child(tight)
    assert "cannot be written: File too large" in (tmp_path / "said").read_text()
    assert snapshot(out / "dunlin") == old
    capfd.readouterr()

    def record_tight() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most // 10, most // 10))
        done = CliRunner().invoke(main, ["record", str(dunlin), "--date", "2026-03-14"], input="5 N·m\n")
        (tmp_path / "said").write_text(done.output[-300:])

    in_a_child(record_tight)
    assert "File too large; the file is unchanged" in (tmp_path / "said").read_text()
    assert dunlin.read_bytes() == changed != van
    assert not list(dunlin.parent.glob(".*.new"))
