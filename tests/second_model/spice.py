"""A settled van told to ngspice: sources as voltages behind resistances, the rest as resistors."""

import subprocess
from collections.abc import Sequence
from pathlib import Path

from tests.second_model.nodal import LEAK_S
from tests.second_model.van import Solved


def largest_deviation(program: str, nets: Sequence[tuple[Solved, str]], folder: Path) -> tuple[float, str]:
    """Return the largest deviation of a node's voltage from ngspice's, with its node. [V]

    Parameters
    ----------
    program : str
    nets : sequence of (Solved, str)
        Each with its reference node.
    folder : Path
        For the decks.
    """
    control = ["* batch", ".control", "set numdgt=12"]
    names: list[dict[str, str]] = []
    for number, (solved, reference) in enumerate(nets):
        deck, known = _deck(solved, reference)
        names.append(known)
        path = folder / f"second{number}.cir"
        path.write_text("\n".join(deck))
        control += [f"source {path}", "op", f"echo net {number}", "print all", "destroy all", "remcirc"]
    batch = folder / "second.cir"
    batch.write_text("\n".join([*control, "quit", ".endc", ".end", ""]))
    run = subprocess.run([program, "-b", str(batch)], capture_output=True, text=True, timeout=120)
    told: list[dict[str, float]] = [{} for _ in nets]
    number = -1
    for line in run.stdout.splitlines():
        if line.startswith("net "):
            number = int(line.split()[1])
        name, equals, value = line.partition(" = ")
        if equals and number >= 0 and not name.startswith("Doing"):
            told[number][name.strip()] = float(value)
    worst = (0.0, "")
    for (solved, reference), known, answer in zip(nets, names, told, strict=True):
        for node, name in known.items():
            if node != reference:
                worst = max(worst, (abs(solved.volts[node] - answer[name]), node))
    return worst


def _deck(solved: Solved, reference: str) -> tuple[list[str], dict[str, str]]:
    known = {reference: "0"}
    lines = ["* van", ".options reltol=1e-9 abstol=1e-9 vntol=1e-9 gmin=1e-15"]
    for number, (name, (a, b, siemens)) in enumerate(solved.branches.items()):
        one, other = (known.setdefault(node, f"n{len(known)}") for node in (a, b))
        if name.startswith("source "):
            volts = solved.behind[name.removeprefix("source ")]
            lines += [
                f"V{number} {one} s{number} DC {volts!r}",
                f"R{number} s{number} {other} {1 / siemens!r}",
            ]
        else:
            lines.append(f"R{number} {one} {other} {1 / siemens!r}")
    lines += [
        f"RL{number} {name} 0 {1 / LEAK_S!r}" for number, name in enumerate(known.values()) if name != "0"
    ]
    return [*lines, ".end", ""], known
