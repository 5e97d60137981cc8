"""How fast a solved operating state is, beside the ngspice process on the same net, and how it grows.

Run it from the project's folder: ``python tests/benchmarks/network_speed.py``. It prints ratios of processor
time in one run; no test rests on a time. ngspice runs with its own default tolerances, which are looser than
ours. The wiring is laid out before, once for all sizes and amounts of a state; "laid out" counts that too.
"""

import gc
import subprocess
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from math import log
from pathlib import Path
from random import Random
from resource import RUSAGE_CHILDREN, getrusage
from time import process_time

from vandoc.ground.calc.devices import Battery, Load
from vandoc.model.system import System
from vandoc.physics.network.expand import build
from vandoc.physics.network.operating import SolvedState, Wiring
from vandoc.physics.network.states import OperatingState

STATE = OperatingState.EVERYTHING


@dataclass(frozen=True)
class Size:
    area_mm2: float
    capacity_a: float
    rating_a: float
    ambient_c: float = 40.0


def generated(circuits: int) -> System:
    """A van with boards and bars of twelve circuits, loads of all kinds; the battery grows with them."""
    pick = Random(circuits)
    box = {"name": "thing", "place": "box"}
    equipment: dict[str, object] = {
        "house": {**box, "kind": "battery", "chemistry": "LiFePO4", "capacity": f"{10 * circuits} Ah"},
    }
    cables, loads, finals = [], {}, []
    for number in range(circuits):
        board, bar = f"board-{number // 12}", f"minus-{number // 12}"
        if board not in equipment:
            equipment[board] = {**box, "kind": "fuse-board", "family": "C", "rows": 2, "columns": 6}
            equipment[bar] = {**box, "kind": "busbar", "rating": "100 A"}
            cables.append({"from": "house.+", "to": f"{board}.in", "length": "2 m", "area": "25 mm²"})
            cables.append({"from": bar, "to": "house.-", "length": "2 m", "area": "25 mm²"})
        kind = ("current", "power", "resistance")[number % 3]
        loads[f"load-{number}"] = {**box, "power": f"{pick.randint(2, 40)} W", "behaves": kind}
        finals.append(
            {
                "id": f"c{number}",
                "fuse": {"board": board, "position": number % 12 + 1, "rating": "10 A"},
                "cable": {"length": f"{pick.randint(1, 6)} m", "area": "2.5 mm²"},
                "load": f"load-{number}",
                "return": bar,
            }
        )
    return System.model_validate(
        {
            "van": {
                "name": "Generated",
                "nominal": "12 V",
                "size": {"length": "8 m", "width": "2 m", "driver": "left"},
                "invented": True,
            },
            "workshop": {"name": "Generated workshop"},
            "places": {"box": {"label": "in the box", "at": {"back": "1 m", "across": "1 m"}}},
            "equipment": equipment,
            "loads": loads,
            "cables": cables,
            "circuits": finals,
        }
    )


def wiring_of(system: System) -> Wiring:
    network = build(system)
    sizes = {c.id: Size(c.area_mm2 or 2.5, 5 * (c.area_mm2 or 2.5), 0) for c in network.conductors.values()}
    fuses = {f.id: Size(0, 0, f.rating_a or 10) for f in network.fuses.values()}
    return Wiring(system, network, sizes, fuses)


def of_children() -> float:
    """Processor time of the processes that have ended so far. [s]"""
    used = getrusage(RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def best(task: Callable[[], object], clock: Callable[[], float], runs: int) -> float:
    """The least processor time of some runs. [s]"""
    times = []
    for _ in range(runs):
        start = clock()
        task()
        times.append(clock() - start)
    return min(times)


def spice_deck(wiring: Wiring, solved: SolvedState) -> str:
    """The same net and the same answers for ngspice, as it likes it best: its own tolerances and start."""
    number = {node: str(index) for index, node in enumerate(sorted(solved.volts, key="house.-".__ne__))}
    lines = ["* net", ".options savecurrents"]
    for index, edge in enumerate(wiring.network.edges()):
        if edge.start in number:
            lines.append(f"R{index} {number[edge.start]} {number[edge.end]} {solved.ohms[edge.id]!r}")
    for index, device in enumerate(solved.devices):
        plus, minus = number[device.plus], number[device.minus]
        if isinstance(device, Battery):
            lines += [f"V{index} emf{index} {minus} DC {device.volts!r}"]
            lines += [f"RV{index} emf{index} {plus} {device.ohm!r}"]
        elif isinstance(device, Load):
            amount = f"{device.amount!r}"
            lines.append(
                {
                    "current": f"I{index} {plus} {minus} DC {amount}",
                    "power": f"B{index} {plus} {minus} I={amount}/max(V({plus},{minus}),1)",
                    "resistance": f"RL{index} {plus} {minus} {amount}",
                }[device.behaves]
            )
    return "\n".join([*lines, ".control", "set numdgt=12", "op", "print all", ".endc", ".end", ""])


def difference(solved: SolvedState, printed: str) -> float:
    """The largest difference between our voltages and those that ngspice printed. [V]"""
    theirs = dict(
        line.split(" = ") for line in printed.splitlines() if line[:1] in "v1234567890" and " = " in line
    )
    nodes = sorted(solved.volts, key="house.-".__ne__)
    found = {name.strip("v() "): float(value) for name, value in theirs.items() if "#" not in name}
    assert len(found) >= len(nodes) - 1, "ngspice found no operating point"
    return max(abs(solved.volts[node] - found[str(n)]) for n, node in enumerate(nodes) if n)


def main() -> None:
    print("circuits  one state    ngspice   ratio  laid out  ratio  largest difference")
    with tempfile.TemporaryDirectory() as folder:
        for circuits in (20, 100, 300):
            system = generated(circuits)
            wiring = wiring_of(system)
            solved = wiring.solve(STATE)
            assert isinstance(solved, SolvedState), solved
            path = Path(folder) / "net.cir"
            path.write_text(spice_deck(wiring, solved), encoding="utf-8")
            command = ["ngspice", "-b", str(path)]
            printed = subprocess.run(command, capture_output=True, text=True).stdout
            off = difference(solved, printed)
            spice = best(lambda command=command: subprocess.run(command, capture_output=True), of_children, 9)
            ours = best(lambda wiring=wiring: wiring.solve(STATE), process_time, 25)
            fresh = [wiring_of(system) for _ in range(9)]
            first = best(lambda fresh=fresh: fresh.pop().solve(STATE), process_time, 9)
            print(
                f"{circuits:8} {ours * 1e3:9.2f} ms {spice * 1e3:7.1f} ms {spice / ours:7.1f}"
                f" {first * 1e3:6.2f} ms {spice / first:6.1f}  {off:.1e} V"
            )
    print("\ncircuits  one state   laid out    exponents since first, since last: one state; laid out")
    rows: list[tuple[int, float, float]] = []
    for circuits in (300, 1000, 3000, 10_000):
        system = generated(circuits)
        fresh = [wiring_of(system) for _ in range(3)]
        gc.collect()
        wiring = fresh[0]
        first = best(lambda fresh=fresh: fresh.pop().solve(STATE), process_time, 3)
        seconds = best(lambda wiring=wiring: wiring.solve(STATE), process_time, 15)
        row = (circuits, seconds, first)
        powers = [
            log(row[which] / other[which]) / log(circuits / other[0])
            for which in (1, 2)
            for other in rows[:1] + rows[-1:]
        ]
        rows.append(row)
        shown = "".join(f"{power:8.2f}" for power in powers)
        print(f"{circuits:8} {seconds * 1e3:9.1f} ms {first * 1e3:8.1f} ms {shown}")


if __name__ == "__main__":
    main()
