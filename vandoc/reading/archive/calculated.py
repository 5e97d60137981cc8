"""The calculated results that a copy keeps: they tell a change made by vandoc from one made to the van.

They are a block before the metadata of the copy, and sealed with it:

    calculated:
      vandoc: "0.1.0"
      fuse: {"board.1": 7.5}
      findings:
      - ["torque-not-stated", "house", "note", "The tightening torque of 'leisure battery' is not stated."]
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from vandoc.ground.errors import Problem, SystemFileError
from vandoc.reading.archive.words import say
from vandoc.reading.yamltree import Node, unwritable

KEY = "calculated"
BY = "vandoc"
FINDINGS = "findings"
DIGITS = 6  # of a figure; more than any page shows
_LINE_BREAKS = "\x85\u2028\u2029\ufeff"  # to YAML, even between quotation marks


@dataclass(frozen=True)
class KeptFinding:
    """A finding of the version that archived the copy; see `Finding` of the checks."""

    rule: str
    subject: str
    severity: str
    message: str


@dataclass(frozen=True)
class Calculated:
    """What a version of vandoc calculated from a van file.

    Attributes
    ----------
    version : str
        Of vandoc.
    figures : mapping of (str, str) to float
        By kind and name, such as ``("fuse", "board.1")``; the units belong to the kinds.
    findings : tuple of KeptFinding
    """

    version: str
    figures: Mapping[tuple[str, str], float]
    findings: tuple[KeptFinding, ...]

    def lines(self) -> Iterator[str]:
        """Yield the block as lines of a copy."""
        yield f"{KEY}:"
        yield f"  {BY}: {_quoted(self.version)}"
        for kind in dict.fromkeys(kind for kind, _ in self.figures):
            shown = (
                f"{_quoted(name)}: {_number(value)}"
                for (one, name), value in self.figures.items()
                if one == kind
            )
            yield f"  {kind}: {{{', '.join(shown)}}}"
        yield f"  {FINDINGS}:{'' if self.findings else ' []'}"
        for found in self.findings:
            entries = (found.rule, found.subject, found.severity, found.message)
            yield f"  - [{', '.join(map(_quoted, entries))}]"


def calculated_in(block: Node) -> Calculated:
    """Return what a block says.

    Raises
    ------
    SystemFileError
        If it is no such block.
    """
    wrong = SystemFileError([Problem(block.location, say("calculated.these_are_not_results", key=KEY))])
    if not isinstance(block.value, dict):
        raise wrong
    entries = block.plain()
    version, findings = entries.pop(BY, None), entries.pop(FINDINGS, None)
    if not isinstance(version, str) or not isinstance(findings, list) or not all(map(_is_finding, findings)):
        raise wrong
    figures = {}
    for kind, group in entries.items():
        if not isinstance(group, dict) or not all(map(_is_figure, group.values())):
            raise wrong
        figures.update({(kind, name): float(value) for name, value in group.items()})
    return Calculated(version, figures, tuple(KeptFinding(*row) for row in findings))


def _is_finding(row: object) -> bool:
    return isinstance(row, list) and len(row) == 4 and all(isinstance(word, str) for word in row)


def _is_figure(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _quoted(text: str) -> str:
    """Return text between quotation marks, with what YAML does not keep as it is escaped."""
    return "".join(
        f"\\u{ord(char):04x}" if unwritable(char) or char in _LINE_BREAKS else char
        for char in json.dumps(text, ensure_ascii=False)
    )


def _number(value: float) -> str:
    """Return a number without an exponent, which a van file's reader takes for text."""
    return f"{float(f'{value:.{DIGITS}g}'):.12f}".rstrip("0").rstrip(".")
