"""How good the fault-finding trees are beside a bound and a plain walk, and what they cost to make.

Run it from the project's folder: ``python tests/benchmarks/fault_trees.py``. For each symptom of each demo
van it prints the mean effort of the tree, Huffman's bound and the higher one that no tree can pass, and the
plain walk, which asks every question from the supply to the load as far as it still tells anything, all in
minutes by the weights of the causes. Then time and memory of the trees of vans with more and more circuits;
no test rests on them.
"""

import sys
import tracemalloc
from math import log
from pathlib import Path
from time import process_time

from network_speed import generated  # its neighbour

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.bound import quick_bound
from vandoc.analysis.diagnosis.problem import Problem, Reader
from vandoc.analysis.diagnosis.symptoms import problems
from vandoc.analysis.diagnosis.table import Table
from vandoc.analysis.diagnosis.trees import trees
from vandoc.doors.build import read

sys.path.append(str(Path(__file__).parents[1] / "diagnosis"))
from lower_bound import lower_bound

VANS = ("curlew", "wren", "heron")
READERS: tuple[Reader, ...] = ("owner", "electrician")
CIRCUITS = (15, 30, 60, 120)


def efforts(van: str) -> None:
    """Print tree, bound and walk for each symptom."""
    found = problems(read(Path("sites") / van / "van.yml"))
    for reader in READERS:
        print(f"\n{van}, {reader}\n{'symptom':28} groups   tree  Huffman  bound   walk  tree/bound")
        for problem, made in zip(found, trees(found, reader), strict=True):
            bound, code = lower_bound(problem, reader), huffman(problem, reader)
            ratio = f"{made.effort / bound:.2f}" if bound else "-"
            print(
                f"{problem.symptom:28} {len(made.groups):6} {made.effort:6.1f} {code:8.1f}"
                f" {bound:6.1f} {made.walk:6.1f}  {ratio:>6}{' exact' if made.exact else ''}"
            )


def huffman(problem: Problem, reader: Reader) -> float:
    """Huffman's bound with the cheapest questions, what takes no effort being asked first. [min]"""
    table = Table.of(problem, reader)

    def below(table: Table) -> float:
        if table.free is None:
            return quick_bound(table, table.start)
        return sum(below(table.part(state)) for state in table.split(table.start, table.free))

    return below(table) / (table.weight(table.start) or 1.0)


def of_size(circuits: int) -> tuple[Problem, ...]:
    """The symptoms of a generated van."""
    return problems(Van(generated(circuits)))


def growth() -> None:
    """Print time and memory of all trees of a van, both readers', by its number of circuits."""
    print("\ncircuits symptoms  trees [s]  most memory [MB]  grows as n^")
    before: tuple[int, float] | None = None
    for circuits in CIRCUITS:
        found = of_size(circuits)
        begun = process_time()
        for reader in READERS:
            trees(found, reader)
        took = process_time() - begun
        tracemalloc.start()
        for reader in READERS:
            trees(found, reader)
        most = tracemalloc.get_traced_memory()[1] / 1e6
        tracemalloc.stop()
        power = f"{log(took / before[1]) / log(circuits / before[0]):.1f}" if before else ""
        print(f"{circuits:8} {len(found):8} {took:10.2f} {most:17.1f}  {power:>11}")
        before = circuits, took


if __name__ == "__main__":
    for van in VANS:
        efforts(van)
    growth()
