"""Interrupt `new`, `print`, `build` and the plugin at every system call that changes the disk.

Run: .venv/bin/python tests/benchmarks/interrupted_output.py [NAME ...] [--fault KILL|ENOSPC] [--every N]
[--from K]

Each run is killed before one call, or that call fails as on a full disk; then it is checked that every source
is as it was and that the output is either the old or the new one, whole; then the command is run again and
must end well with the same output as a run that nobody interrupted. Printed: the number of runs for each
command, in how many something was lost or left over or the next run failed, and what was wrong.
"""

import argparse
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType

ROOT = Path(__file__).parents[2]


def main() -> None:
    tests = ModuleType("tests")  # ours: some packages install one of that name
    tests.__path__ = [str(ROOT / "tests")]
    sys.modules["tests"] = tests
    from tests.interruption.commands import subjects
    from tests.interruption.harness import missing

    reason = missing()
    if reason:
        sys.exit(reason)
    with TemporaryDirectory() as folder:
        known = subjects(Path(folder))
        parser = argparse.ArgumentParser(description=__doc__)
        parser.add_argument("names", nargs="*", default=list(known), choices=[*known, []], metavar="NAME")
        parser.add_argument("--fault", action="append", choices=["KILL", "ENOSPC"])
        parser.add_argument("--every", type=int, default=1, help="only each N-th call")
        parser.add_argument("--from", dest="first", type=int, default=0, help="how many calls to pass over")
        asked = parser.parse_args()
        bad = 0
        for name in asked.names or known:
            start = time.process_time()
            subject = known[name]()
            calls = subject.calls[asked.first :: asked.every]
            for fault in asked.fault or ["KILL", "ENOSPC"]:
                wrong: list[str] = []
                for call in calls:
                    wrong += subject.interrupted(call, fault)
                bad += len(wrong)
                taken = time.process_time() - start
                print(
                    f"{name:24} {fault:7} {len(calls):5} of {len(subject.calls):5} calls, {len(wrong)} wrong"
                )
                print("\n".join(wrong[:20]), f"  ({taken:.0f} s in this process)", flush=True)
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
