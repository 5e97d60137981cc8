"""Outside programs the calculations are compared with."""

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest


def _program(name: str) -> str:
    path = shutil.which(name)
    if path is None:
        if os.environ.get("CI") == "true":
            pytest.fail(f"{name} is not installed, and CI must compare with it")
        pytest.skip(f"{name} is not installed")
    return path


@pytest.fixture(scope="session")
def gnu_units() -> Callable[[str, str], float]:
    """Convert with the GNU units program: (from, to) to a number."""
    program = _program("units")

    def convert(have: str, want: str) -> float:
        command = [program, "--terse", "--digits", "10", have, want]
        return float(subprocess.run(command, check=True, capture_output=True, text=True, timeout=20).stdout)

    return convert


@pytest.fixture(scope="session")
def ngspice(tmp_path_factory: pytest.TempPathFactory) -> Callable[[list[str], list[str]], dict[str, float]]:
    """Find an operating point with ngspice: (element lines, nodes) to node voltages."""
    program = _program("ngspice")
    folder: Path = tmp_path_factory.mktemp("ngspice")

    def operating_point(elements: list[str], nodes: list[str]) -> dict[str, float]:
        prints = [f"print v({node})" for node in nodes]
        control = [".control", "set numdgt=15", "op", *prints, ".endc"]
        deck = folder / "net.cir"
        deck.write_text("\n".join(["* net", *elements, *control, ".end", ""]))
        command = [program, "-b", str(deck)]
        answer = subprocess.run(command, check=False, capture_output=True, text=True, timeout=60).stdout
        found = {}
        for line in answer.splitlines():
            name, equals, value = line.partition(" = ")
            if equals and name.strip().startswith("v("):
                found[name.strip()[2:-1]] = float(value)
        assert set(found) == set(nodes), answer
        return found

    return operating_point
