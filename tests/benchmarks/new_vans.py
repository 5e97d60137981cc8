"""No van that `vandoc new` writes fails a check: every choice crossed with the ends of the numbers.

Run: python tests/benchmarks/new_vans.py [--random N] [--seed S] [--processes N]

Printed: how many sets of answers were tried, and each that fails, with the rules. The exit status is 1 if
one does.
"""

import argparse
import sys
import tempfile
from multiprocessing import Pool
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).parents[2]
sys.modules["tests"] = ModuleType("tests")  # ours: some packages install one of that name
sys.modules["tests"].__path__ = [str(ROOT / "tests")]
from tests.starter.answered import crossed, fails, random_sets  # noqa: E402 (found only then)
from vandoc.reading.starter import Answers  # noqa: E402


def failing(answers: Answers) -> tuple[Answers, list[str]]:
    with tempfile.TemporaryDirectory() as folder:
        return answers, sorted({finding.rule for finding in fails(answers, Path(folder))})


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--random", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    sets = [*crossed(), *random_sets(asked.seed, asked.random)]
    wrong = 0
    with Pool(asked.processes) as pool:
        for answers, rules in pool.imap_unordered(failing, sets, chunksize=20):
            if rules:
                wrong += 1
                print(answers, ", ".join(rules), flush=True)
    print(f"{len(sets)} sets of answers, {wrong} vans with a fail")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
