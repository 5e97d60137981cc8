"""Every single fault of many vans made up by chance, walked through their trees.

Run it from the project's folder: ``python tests/benchmarks/prove_many.py [how many]``. Each seed is a van; it
prints the faults, and each that a tree does not find or names too early.
"""

import sys
from pathlib import Path
from types import ModuleType

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.vans.generated import generated  # noqa: E402 (found only then)
from vandoc.analysis import Van  # noqa: E402
from vandoc.analysis.diagnosis.proof import Prover  # noqa: E402
from vandoc.analysis.diagnosis.symptoms import Diagnosis  # noqa: E402


def main() -> None:
    walks = wrong = 0
    vans = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    for seed in range(vans):
        proof = Prover(Diagnosis(Van(generated(seed))), seed).prove(draws=1)
        walks += len(proof.walks)
        for what, found in (("not found", proof.lost), ("named too early", proof.early)):
            wrong += len(found)
            for walk in found:
                print(f"van {seed}: {what}: {walk}")
    print(f"{vans} vans, {walks} walks, {wrong} wrong")
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
