"""Ten thousand spoilt files, by fixed seeds, in processes of their own.

Run it from the project's folder: ``python tests/benchmarks/fuzz.py [how many] [--only KIND ...]``. With
kinds, only their share of the files is tried. It prints how many files of each kind ended with which exit
status, the longest run, the largest process, and each run that ended wrongly:
with a traceback, without a place in an error, after more than 20 s of processor time or with more than 1 GB.
"""

import argparse
import json
import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from tempfile import TemporaryDirectory
from types import ModuleType
from typing import Any

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.fuzz.runs import Bench  # noqa: E402 (found only then)

SHARES = {
    "van": 0.52,
    "part sheet": 0.2,
    "workshop": 0.05,
    "revision": 0.2,
    "page": 0.015,  # a build takes seconds
    "configuration": 0.015,
}
BATCH = 100
MOST_MB = 1000
ONE_BATCH = "--batch"


def batch(kind: str, first: int, count: int) -> None:
    """Run some seeds and print what became of them."""
    with TemporaryDirectory() as name:
        bench = Bench(Path(name).resolve())
        runs = [asdict(bench.run(kind, seed)) for seed in range(first, first + count)]
    print(json.dumps({"runs": runs, "mb": getrusage(RUSAGE_SELF).ru_maxrss / 1024}))


def started(job: tuple[str, int, int]) -> dict[str, Any]:
    command = [sys.executable, __file__, ONE_BATCH, *map(str, job)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        wrong = f"the process ended with {done.returncode}: {done.stderr[-300:]}"
        return {
            "runs": [{"kind": job[0], "seed": job[1], "status": -1, "seconds": 0.0, "wrong": wrong}],
            "mb": 0,
        }
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


def main() -> None:
    if sys.argv[1:2] == [ONE_BATCH]:
        batch(sys.argv[2], int(sys.argv[3]), int(sys.argv[4]))
        return
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("total", nargs="?", type=int, default=10_000)
    parser.add_argument("--only", nargs="+", choices=[*SHARES], default=[*SHARES], metavar="KIND")
    asked = parser.parse_args()
    counts = {kind: round(asked.total * SHARES[kind]) for kind in asked.only}
    jobs = [
        (kind, first, min(BATCH, count - first))
        for kind, count in counts.items()
        for first in range(0, count, BATCH)
    ]
    batches = []
    with ThreadPoolExecutor(2) as pool:
        for batch_of_runs in pool.map(started, jobs):
            batches.append(batch_of_runs)
            done = sum(len(one["runs"]) for one in batches)
            bad = sum(bool(run["wrong"]) for one in batches for run in one["runs"])
            print(f"{done} of {sum(counts.values())} files, {bad} ended wrongly", file=sys.stderr, flush=True)
    runs = [run for one in batches for run in one["runs"]]
    for kind in counts:
        own = [run for run in runs if run["kind"] == kind]
        statuses = ", ".join(
            f"{n} with {s}" for s, n in sorted(Counter(run["status"] for run in own).items())
        )
        seconds = sum(run["seconds"] for run in own)
        print(f"{kind}: {len(own)} files; exit status: {statuses}; {seconds:.0f} s in all")
    wrong = [run for run in runs if run["wrong"]]
    largest = max(one["mb"] for one in batches)
    print(f"{len(runs)} files, {len(wrong)} ended wrongly; longest {max(r['seconds'] for r in runs):.1f} s")
    print(f"largest process {largest:.0f} MB{'' if largest < MOST_MB else ': too large'}")
    for run in wrong:
        print(f"  {run['kind']} {run['seed']}: {run['wrong']}")


if __name__ == "__main__":
    main()
