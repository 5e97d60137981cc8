"""CPU time of `vandoc check` against that of importing what it imports, in one run.

Run: python tests/benchmarks/check_cost.py [VAN_FILE] [--runs N]

By turns, so that a noisy machine troubles all alike: the whole command; a process that imports every module
that the command has loaded by its end, vandoc's own included; one that imports only those of other libraries
and of the standard library. pint loads NumPy where that is installed, as beside the tests; `--without-numpy`
hides it, as where only vandoc is installed. Printed: the median of each and the ratios.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

ROOT = Path(__file__).parents[2]
LOADED = """
import sys
sys.argv = ["vandoc", "check", {van!r}]
from vandoc.doors.cli import main
try:
    main()
except SystemExit:
    print("\\n".join(name for name in sys.modules if name != "__main__"), file=sys.stderr)
"""
IMPORT = """
import importlib, sys
for name in {names!r}:
    try:
        importlib.import_module(name)
    except ImportError:  # a part that only exists while its package is loaded
        pass
"""


def cpu_seconds(code: list[str], environment: dict[str, str]) -> float:
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *code], env=environment, stdout=subprocess.DEVNULL, check=False)
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("van_file", nargs="?", type=Path, default=ROOT / "sites/curlew/van.yml")
    parser.add_argument("--runs", type=int, default=9)
    parser.add_argument("--without-numpy", action="store_true")
    options = parser.parse_args()
    van = str(options.van_file.resolve())
    with tempfile.TemporaryDirectory() as folder:
        environment = dict(os.environ)
        if options.without_numpy:
            Path(folder, "numpy.py").write_text("raise ImportError\n", "utf-8")
            environment["PYTHONPATH"] = folder
        command = [sys.executable, "-c", LOADED.format(van=van)]
        loaded = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
        names = loaded.stderr.split()
        others = [name for name in names if name.partition(".")[0] != "vandoc"]
        tasks = {
            "vandoc check": ["-m", "vandoc", "check", van],
            "importing all": ["-c", IMPORT.format(names=names)],
            "importing other libraries": ["-c", IMPORT.format(names=others)],
        }
        times: dict[str, list[float]] = {label: [] for label in tasks}
        for _ in range(options.runs):
            for label, code in tasks.items():
                times[label].append(cpu_seconds(code, environment))
    for label, values in times.items():
        print(f"  {label:26} {statistics.median(values):6.3f} s")
    for label in list(tasks)[1:]:
        ratios = sorted(a / b for a, b in zip(times["vandoc check"], times[label], strict=True))
        print(f"  ratio to {label}: {statistics.median(ratios):.2f} ({ratios[0]:.2f} to {ratios[-1]:.2f})")


if __name__ == "__main__":
    main()
