"""Every mutant of the safety texts, of the limits of measurements and of the history, each met by its tests.

Run it from the project's folder: ``python tests/benchmarks/said_mutants.py [part of a path ...]``. Each
mutant is made in a copy of the package, and the tests that have to notice it are run there. It prints
each one that survived, and how many of each file were noticed; its exit status is 1 if one survived.
"""

import os
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import SimpleQueue
from tempfile import TemporaryDirectory
from types import ModuleType

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.says.killing import Copy  # noqa: E402 (found only then)
from tests.says.mutants import Mutant, every  # noqa: E402


def main(*parts: str) -> int:
    """Try the mutants of the files whose path holds one of `parts`; return the exit status."""
    mutants = [mutant for part in parts or ("",) for mutant in every() if part in mutant.path]
    workers = len(os.sched_getaffinity(0))  # `taskset` gives it fewer
    with TemporaryDirectory() as folder, ThreadPoolExecutor(workers) as pool:
        copies = [Copy(Path(folder) / str(number)) for number in range(workers)]
        for tests in {mutant.tests for mutant in mutants}:
            copies[0].must_pass(tests)
        free: SimpleQueue[Copy] = SimpleQueue()
        for copy in copies:
            copy.start()
            free.put(copy)

        def survives(mutant: Mutant) -> bool:
            copy = free.get()
            try:
                alive = copy.survives(mutant)
                if alive:
                    print(f"survived: {mutant.path}: {mutant.what}", flush=True)
                return alive
            finally:
                free.put(copy)

        lives = pool.map(survives, mutants)
        survived = [mutant for mutant, alive in zip(mutants, lives, strict=True) if alive]
        for copy in copies:
            copy.close()
    made, alive = Counter(one.path for one in mutants), Counter(one.path for one in survived)
    for path, count in sorted(made.items()):
        print(f"{count - alive[path]:4} of {count:4} noticed: {path}")
    print(f"{len(mutants) - len(survived)} of {len(mutants)} noticed, {len(survived)} survived")
    return 1 if survived else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
