"""How the fault trees hold in vans as they are met: the bars of the field, over fresh worlds.

Run it from the project's folder: ``python tests/benchmarks/field.py RUNS [--vans curlew,heron,wren]
[--generated 20] [--misled 20] [--seeds 3]``. The seeds follow from the commit, so that nobody can tune trees
to them. For each van and seed it prints what ``vandoc prove`` prints; last, the sums over all of them and
the limits that they miss.
"""

import argparse
import subprocess
import sys
from pathlib import Path
from types import ModuleType

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.field.field_proof import FieldProof
from vandoc.analysis.diagnosis.field.field_prover import FieldProver, seed_of
from vandoc.analysis.diagnosis.report import field_report
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.doors.build import read

sys.modules["tests"] = ModuleType("tests")  # ours: some packages install one of that name
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]

from tests.vans.generated import generated  # noqa: E402 (found only then)


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("runs", type=int)
    asked.add_argument("--vans", default="curlew,heron,wren")
    asked.add_argument("--generated", type=int, default=0)
    asked.add_argument("--misled", type=int, default=0)
    asked.add_argument("--seeds", type=int, default=3)
    given = asked.parse_args()
    commit = subprocess.run(["git", "rev-parse", "HEAD"], capture_output=True, text=True, check=True).stdout
    seeds = [seed_of(f"{commit.strip()} {number}") for number in range(given.seeds)]
    vans = {name: read(Path("sites") / name / "van.yml") for name in given.vans.split(",") if name}
    vans |= {f"generated {number}": Van(generated(number)) for number in range(given.generated)}
    every: list[FieldProof] = []
    for name, van in vans.items():
        diagnosis = Diagnosis(van)
        for seed in seeds:
            proof = FieldProver(diagnosis, seed, given.misled / 100).prove(given.runs)
            print(f"{name}:\n{field_report(proof)}", flush=True)
            every.append(proof)
    walks = tuple(walk for proof in every for walk in proof.walks)
    unsolved = sum(proof.unsolved for proof in every)
    print(f"together:\n{field_report(FieldProof(seeds[0], given.misled / 100, walks, unsolved))}")


if __name__ == "__main__":
    main()
