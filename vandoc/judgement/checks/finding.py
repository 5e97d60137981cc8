"""What a check found."""

from dataclasses import dataclass, field
from typing import Literal

Severity = Literal["fail", "review", "note"]
SEVERITIES: tuple[Severity, ...] = ("fail", "review", "note")


@dataclass(frozen=True)
class NearestChange:
    """The nearest change that cures a fault.

    Attributes
    ----------
    text : str
        The change in words, or why none is named.
    key : str or None
        Where the value stands in the van file, such as ``circuits[3].cable.area``; None where none is named.
    now, then : str or None
        The value before and after; `now` is None where the file does not state it.
    """

    text: str
    key: str | None = None
    now: str | None = None
    then: str | None = None


@dataclass(frozen=True, order=True)
class Finding:
    """One rule met one thing in one van.

    Attributes
    ----------
    file, line, column : str, int, int
        Where the thing stands in the van file, counted from 1.
    rule : str
        The rule's name, a plain slug.
    severity : str
        `fail`: a rule is broken. `review`: a person must look, or a figure is missing. `note`: good to know.
    subject : str
        The thing: a piece, load, cable, circuit or place by its name in the van file.
    message : str
        One sentence, with this van's numbers.
    working : str
        The sum with this van's numbers put in, or empty.
    value, limit : float or None
        What was found and what is allowed, in `unit`.
    unit : str
    source : str
        Standard, edition and clause; "common practice, no source"; "from memory" is said where it is so.
    nearest : NearestChange or None
        Of a `fail`, once it was sought.
    """

    file: str
    line: int
    column: int
    rule: str
    severity: Severity
    subject: str
    message: str
    working: str
    value: float | None
    limit: float | None
    unit: str
    source: str
    nearest: NearestChange | None = field(default=None, compare=False)

    def __str__(self) -> str:
        return (
            f"{self.file}:{self.line}:{self.column}: {self.severity}: {self.message} "
            f"[{self.rule}; {self.source}]"
        )
