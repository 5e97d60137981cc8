"""Conversion of DOT to SVG by Graphviz: the program `dot` if installed, otherwise the port from PyPI.

The texts state all positions, and the program is told to keep them.
"""

import re
import shutil
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from vandoc.ground.errors import VandocError
from vandoc.ground.messages import Messages

say = Messages("vandoc.pages.diagram", "faults").say

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
    raise DiagramError(say("render.single_line_diagram"))


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
            [str(engine.path), "-Kneato", "-n2", "-Tsvg"],
            input="\n".join(dots).encode("utf-8"),
            capture_output=True,
            timeout=TIMEOUT_S,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise DiagramError(
            say("render.gave_no_drawing_within", name=engine.name, seconds=TIMEOUT_S)
        ) from error
    except OSError as error:
        raise DiagramError(
            say("render.cannot_run", name=engine.name, reason=error.strerror or error)
        ) from error
    said = done.stderr.decode("utf-8", "replace").strip()
    if done.returncode:
        raise DiagramError(
            say(
                "render.failed_status",
                name=engine.name,
                status=done.returncode,
                said=said or say("render.gave_no_reason"),
            )
        )
    drawings = _DOCUMENT.findall(done.stdout.decode("utf-8", "replace"))
    if len(drawings) != len(dots):
        raise DiagramError(
            say(
                "render.drew_diagrams",
                name=engine.name,
                drawings=len(drawings),
                dots=len(dots),
                said=said or say("render.no_reason"),
            )
        )
    return drawings
