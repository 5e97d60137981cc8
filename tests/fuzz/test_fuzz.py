"""Five hundred spoilt files: every command ends with a message that names a place, or does its work.

The benchmark `tests/benchmarks/fuzz.py` tries ten thousand.
"""

from collections import Counter
from pathlib import Path
from resource import RUSAGE_SELF, getrusage

import pytest

from tests.fuzz.runs import KINDS, Bench

COUNTS = {
    "van": 200,
    "part sheet": 124,
    "workshop": 40,
    "revision": 124,
    "page": 6,
    "configuration": 6,
}  # a build takes seconds
MOST_KB = 1_000_000


def test_the_counts_are_those_of_every_kind() -> None:
    assert set(COUNTS) == set(KINDS)
    assert sum(COUNTS.values()) == 500


@pytest.mark.parametrize("kind", KINDS)
def test_a_spoilt_file_ends_in_a_message_with_a_place(kind: str, tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    runs = [bench.run(kind, seed) for seed in range(COUNTS[kind])]
    print(kind, dict(Counter(run.status for run in runs)), f"{sum(run.seconds for run in runs):.1f} s")
    assert [run for run in runs if run.wrong] == []
    assert any(run.status for run in runs), "no file was spoilt enough to be refused"
    assert getrusage(RUSAGE_SELF).ru_maxrss < MOST_KB
