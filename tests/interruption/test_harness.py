"""The harness itself: it finds every change, stops before it, and says so when it cannot."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.interruption.harness import Call, StrayError, changing_calls, run, sample

pytestmark = pytest.mark.usefixtures("interruptible")


@pytest.fixture
def work(tmp_path):
    def three_steps() -> str:
        folder = tmp_path / "new"
        folder.mkdir(exist_ok=True)
        (folder / "a").write_text("one")
        (folder / "a").read_text()
        try:
            (folder / "a").rename(folder / "b")
        except OSError as error:
            return str(error.strerror)
        return "done"

    return three_steps


def test_calls_that_change_the_disk_are_found_and_no_others(work, tmp_path):
    calls = changing_calls(work)
    assert [call.name for call in calls] == ["mkdir", "openat", "write", "rename"]
    assert all(str(tmp_path / "new") in call.given for call in calls)


def test_a_kill_leaves_what_the_calls_before_it_made(work, tmp_path):
    made, opened, written, renamed = changing_calls(work)
    folder = tmp_path / "new"
    (folder / "b").unlink()
    folder.rmdir()
    assert run(work, made).killed
    assert not folder.exists()
    assert run(work, opened).killed
    assert list(folder.iterdir()) == []
    assert run(work, written).killed
    assert (folder / "a").read_text() == ""
    assert run(work, renamed).killed
    assert (folder / "a").read_text() == "one"
    ended = run(work)
    assert (ended.killed, ended.status, ended.text) == (False, 0, "done")
    assert [path.name for path in folder.iterdir()] == ["b"]


def test_a_call_can_fail_as_on_a_full_disk(work):
    *_, renamed = changing_calls(work)
    assert run(work, renamed, "ENOSPC").text == os.strerror(28)
    assert "No space left" in run(work, changing_calls(work)[1], "ENOSPC").text


def test_a_call_that_is_not_met_is_said(work):
    with pytest.raises(StrayError, match="not killed"):
        run(work, Call("rename", 7, ""))
    with pytest.raises(StrayError, match="elsewhere"):
        run(work, Call("rename", 1, "another"))


def test_work_that_fails_or_writes_from_another_process_is_refused(tmp_path):
    with pytest.raises(StrayError, match="ZeroDivisionError"):
        changing_calls(lambda: 1 // 0)
    command = [sys.executable, "-c", f"open({str(tmp_path / 'x')!r}, 'w').write('x')"]
    with pytest.raises(StrayError, match="another process"):
        changing_calls(lambda: subprocess.run(command, check=True))


def test_a_sample_is_spread_and_has_both_ends():
    calls = [Call("write", number, "") for number in range(1, 101)]
    numbers = [call.number for call in sample(calls, 12)]
    assert numbers[0] == 1
    assert numbers[-1] == 100
    assert len(set(numbers)) == 12
    assert list(sample(calls[:3], 12)) == calls[:3]


def test_random_names_are_the_same_call_in_every_run(tmp_path):
    def work() -> None:
        import tempfile

        handle, name = tempfile.mkstemp(".new", ".van.yml.", tmp_path)
        os.write(handle, b"x")
        os.close(handle)
        Path(name).replace(tmp_path / "van.yml")

    for call in changing_calls(work):
        assert run(work, call).killed
