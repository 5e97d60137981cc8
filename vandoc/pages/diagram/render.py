"""Conversion of DOT to SVG by Graphviz: the program `dot` if installed, otherwise the port from PyPI."""

import re
import shutil
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from vandoc.ground.errors import VandocError

TIMEOUT_S = 120.0

_DOCUMENT = re.compile(r"<\?xml .*?</svg>", re.DOTALL)


class DiagramError(VandocError):
    """The single-line diagram cannot be drawn."""


@dataclass(frozen=True)
class Engine:
    """A layout program that reads DOT on standard input and supports `-Tsvg`."""

    name: str
    path: Path


def engines() -> list[Engine]:
    """Return the layout programs on this machine, the preferred one first."""
    beside = str(Path(sys.executable).parent)
    candidates = {
        "dot": shutil.which("dot"),
        "graphviz-pure": shutil.which("graphviz-pure", path=beside) or shutil.which("graphviz-pure"),
    }
    return [Engine(name, Path(path)) for name, path in candidates.items() if path]


def find_engine() -> Engine:
    """Return the layout program to use.

    Raises
    ------
    DiagramError
        If no layout program is installed.
    """
    for engine in engines():
        return engine
    raise DiagramError(
        "the single-line diagram needs a Graphviz layout program, and none was found: install the Python "
        "package 'graphviz-pure' (pip install graphviz-pure) beside vandoc, or Graphviz itself, so that "
        "'dot' can be run"
    )


def render(dots: Sequence[str], engine: Engine | None = None) -> list[str]:
    """Return the layout program's SVG document for each DOT text, made in one process.

    Parameters
    ----------
    dots : sequence of str
        One graph each.
    engine : Engine, optional
        The program; default: that of `find_engine`.

    Raises
    ------
    DiagramError
        If there is no program, it fails or takes too long, or its output is incomplete.
    """
    if not dots:
        return []
    engine = engine or find_engine()
    try:
        done = subprocess.run(
            [str(engine.path), "-Tsvg"],
            input="\n".join(dots).encode("utf-8"),
            capture_output=True,
            timeout=TIMEOUT_S,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise DiagramError(f"{engine.name} gave no drawing within {TIMEOUT_S:g} s") from error
    except OSError as error:
        raise DiagramError(f"{engine.name} cannot be run: {error.strerror or error}") from error
    said = done.stderr.decode("utf-8", "replace").strip()
    if done.returncode:
        raise DiagramError(
            f"{engine.name} failed with status {done.returncode}: {said or 'it gave no reason'}"
        )
    drawings = _DOCUMENT.findall(done.stdout.decode("utf-8", "replace"))
    if len(drawings) != len(dots):
        raise DiagramError(
            f"{engine.name} drew {len(drawings)} of {len(dots)} diagrams: {said or 'no reason'}"
        )
    return drawings
