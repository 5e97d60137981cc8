"""How long it takes to find all that may go wrong in a van and to make its trees, and how that grows.

Run it from the project's folder: ``python tests/benchmarks/diagnosis_speed.py``. It prints processor times,
the growth in one run, and the memory of a fresh process for a large van; no test rests on them. Garbage is
not looked for meanwhile, as when a manual is written.
"""

import gc
import subprocess
import sys
from math import log
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from time import process_time

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.analysis.diagnosis.trees import trees

sys.path.append(str(Path(__file__).parents[1] / "vans"))
from generated import generated

SEED = 4
CIRCUITS = (15, 30, 60, 120)
LARGE = 60


def run(circuits: int) -> tuple[float, float, int, int, int]:
    """Seconds for the symptoms, seconds for the trees; how many faults, symptoms and known answers."""
    gc.collect()
    gc.disable()
    van = Van(generated(SEED, circuits))
    van.wiring  # noqa: B018 (the wiring is not what is timed)
    start = process_time()
    diagnosis = Diagnosis(van)
    problems = [case.problem for case in diagnosis.cases()]
    middle = process_time()
    for reader in ("owner", "electrician"):
        trees(problems, reader)
    end = process_time()
    answers = sum(len(problem.possible) for problem in problems)
    return middle - start, end - middle, len(diagnosis.faults), len(problems), answers


def main() -> None:
    if len(sys.argv) > 1:
        run(int(sys.argv[1]))
        print(getrusage(RUSAGE_SELF).ru_maxrss // 1024)
        return
    print("circuits  faults  symptoms  answers  for symptoms  for trees    both  exponent since the first")
    first: tuple[int, float] | None = None
    for circuits in CIRCUITS:
        one, two, *counts = min((run(circuits) for _ in range(3)), key=lambda found: found[0] + found[1])
        both = one + two
        power = "" if first is None else f"{log(both / first[1]) / log(circuits / first[0]):.2f}"
        first = first or (circuits, both)
        faults, symptoms, answers = counts
        print(
            f"{circuits:8} {faults:7} {symptoms:9} {answers:8}"
            f" {one:11.2f} s {two:8.2f} s {both:5.2f} s  {power}"
        )
    command = [sys.executable, __file__, str(LARGE)]
    memory = subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()
    print(f"memory of a process that does it for {LARGE} circuits: {memory} MB")


if __name__ == "__main__":
    main()
