"""How `vandoc check` and `vandoc size` grow with the number of circuits.

Run: python tests/benchmarks/check_growth.py [CIRCUITS ...] [--command check|size] [--seed N]

Each van is checked in a process of its own, stated sizes and open ones. Printed: processor time and largest
memory; the exponents of both, from one size to the next and over all, beyond what the smallest sound van
takes, which is mostly importing. (A van of three circuits of the same kind has faults, for which changes are
tried: to take that away would make small vans look cheaper than they are.) A check that takes longer than ten
minutes is stopped.
"""

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from itertools import pairwise
from math import log, nan
from pathlib import Path
from random import Random
from types import ModuleType
from typing import Any

import yaml

ROOT = Path(__file__).parents[2]
SIZES = [100, 200, 400, 800, 1500, 2000]
MOST_S = 600
MEASURE = """
import resource, runpy, sys
sys.argv = ["vandoc", {command!r}, {van!r}]
try:
    runpy.run_module("vandoc", run_name="__main__")
except SystemExit as end:
    status = end.code
used = resource.getrusage(resource.RUSAGE_SELF)
print(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, status, file=sys.stderr)
"""

sys.modules["tests"] = ModuleType("tests")  # ours: some packages install one of that name
sys.modules["tests"].__path__ = [str(ROOT / "tests")]
from tests.vans.generated import _Van  # noqa: E402 (found only then)
from tests.vans.small import SMALL  # noqa: E402


def van_file(seed: int, circuits: int, left_open: bool) -> dict[str, Any]:
    """Return a van; its wiring is that of the generated vans, and its sizes may be left open."""
    # Over JSON, so that nothing is shared: YAML would write it as an alias.
    plain: dict[str, Any] = json.loads(json.dumps(_Van(Random(seed), circuits).file()))
    if left_open:
        chains = [circuit["cable"] for circuit in plain["circuits"]]
        segments = [one for chain in chains for one in (chain if isinstance(chain, list) else [chain])]
        for run in [*plain["cables"], *segments]:
            run.pop("area", None)
        for circuit in plain["circuits"]:
            circuit["fuse"].pop("rating", None)
        for piece in plain["equipment"].values():
            if piece["kind"] == "fuse":
                piece.pop("rating", None)
    return plain


def measured(command: str, path: Path) -> tuple[float, float, str] | None:
    """Return processor time [s], largest memory [MB] and exit status; None if it took too long."""
    code = MEASURE.format(command=command, van=str(path))
    try:
        done = subprocess.run(
            [sys.executable, "-c", code], env=dict(os.environ), capture_output=True, text=True, timeout=MOST_S
        )
    except subprocess.TimeoutExpired:
        return None
    seconds, megabytes, status = done.stderr.splitlines()[-1].split()
    return float(seconds), float(megabytes), status


def rows(command: str, seed: int, sizes: list[int], left_open: bool) -> Iterator[tuple[int, float, float]]:
    """Yield size, time and memory beyond the smallest sound van, printing each."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "van.yml"
        base = 0.0, 0.0
        for circuits in [0, *sizes]:
            if circuits:
                plain = yaml.safe_dump(van_file(seed, circuits, left_open), sort_keys=False)
                path.write_text(plain, "utf-8")
            else:
                shutil.copy(SMALL, path)
            found = measured(command, path)
            if found is None:
                print(f"{circuits:9}: stopped after {MOST_S} s")
                return
            seconds, megabytes, status = found
            shown = f"{circuits:9} {seconds:9.2f} s {megabytes:8.0f} MB   status {status}"
            print(f"{shown}   {path.stat().st_size // 1000} kB", flush=True)
            if not circuits:
                base = seconds, megabytes
            else:
                yield circuits, seconds - base[0], megabytes - base[1]


def exponent(one: tuple[int, float, float], other: tuple[int, float, float], which: int) -> float:
    if one[which] <= 0 or other[which] <= 0:
        return nan  # no more than the smallest van takes
    return log(other[which] / one[which]) / log(other[0] / one[0])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("circuits", nargs="*", type=int, default=SIZES)
    parser.add_argument("--command", choices=["check", "size"], default="check")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", choices=["stated", "open"])
    asked = parser.parse_args()
    for label in [asked.only] if asked.only else ["stated", "open"]:
        print(f"{asked.command}, sizes {label}, seed {asked.seed}")
        found = list(rows(asked.command, asked.seed, asked.circuits, label == "open"))
        for which, name in ((1, "time"), (2, "memory")):
            steps = " ".join(f"{exponent(one, other, which):.2f}" for one, other in pairwise(found))
            overall = f"{exponent(found[0], found[-1], which):.2f}" if len(found) > 1 else "-"
            print(f"  exponent of {name}: {overall} ({steps})")


if __name__ == "__main__":
    main()
