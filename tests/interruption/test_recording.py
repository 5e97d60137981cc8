"""`record`, `service` and `revise`, stopped at every system call that changes the disk (25 s).

The benchmark `tests/benchmarks/interrupted_recording.py` then runs every other command as well.
"""

import pytest

from tests.interruption.harness import sample
from tests.interruption.recording import (
    JOBS,
    calls_of,
    content,
    edited_then_archived,
    go_on,
    sound,
    stop,
    van,
)

pytestmark = pytest.mark.usefixtures("interruptible")


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.command)
def test_a_stop_at_any_call_loses_no_answer_and_the_next_run_ends_as_if_there_was_none(tmp_path, job):
    path = van(tmp_path)
    first, last, calls = calls_of(job, path)
    assert len(calls) > 15
    print(f"{job.command}: {len(calls)} calls")
    for call in calls:
        assert stop(job, path, first, call).killed
        sound(path)
        go_on(job, path, first, last)


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.command)
def test_after_a_stop_and_one_more_edit_of_the_file_it_can_be_archived(tmp_path, job):
    path = van(tmp_path)
    first, _, calls = calls_of(job, path)
    steps = [call for call in calls if call.name.startswith("rename")]
    for call in [*steps, *sample(calls, 6)]:
        assert stop(job, path, first, call).killed
        edited_then_archived(path)


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.command)
def test_a_disk_that_is_full_at_any_step_loses_no_answer(tmp_path, job):
    path = van(tmp_path)
    first, last, calls = calls_of(job, path)
    taking_space = [call for call in calls if call.name in ("write", "openat", "fsync")]
    told = 0
    for call in sample(taking_space, 8):
        ended = stop(job, path, first, call, "ENOSPC")
        assert (ended.killed, ended.status) == (False, 0), ended.text
        sound(path)
        if ended.text.startswith("0\n"):  # a folder that cannot be synchronised stops nothing
            assert content(path) == last
            continue
        assert "No space left on device" in ended.text
        told += 1
        go_on(job, path, first, last)
    assert told >= 4
