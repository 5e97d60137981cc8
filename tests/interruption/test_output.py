"""A fixed sample of interrupted runs of the commands that make output; the benchmark makes them all."""

import pytest

from tests.interruption.commands import subjects
from tests.interruption.harness import sample

pytestmark = pytest.mark.usefixtures("interruptible")
LAST = 2  # renames of the whole folder, where there are such


@pytest.mark.parametrize(("name", "count"), [("new", 100), ("print", 5), ("build", 3), ("mkdocs", 2)])
def test_nothing_is_lost_and_the_next_run_works(tmp_path, name, count):
    subject = subjects(tmp_path)[name]()
    assert len(subject.calls) > (10 if name in ("new", "print") else 100)
    assert subject.new != subject.old
    swaps = [call for call in subject.calls if call.name.startswith("rename") and "tern" in call.given]
    chosen = dict.fromkeys([*sample(subject.calls, count), *swaps[-LAST:]])
    assert [text for call in chosen for text in subject.interrupted(call, "KILL")] == []
    full = dict.fromkeys([*sample(subject.calls, min(count, 12))[1:2], *swaps[-1:]])
    if name == "new":
        full = dict.fromkeys(sample(subject.calls, 6))
    assert [text for call in full for text in subject.interrupted(call, "ENOSPC")] == []
