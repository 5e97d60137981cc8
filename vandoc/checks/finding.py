"""What a check found."""

from dataclasses import dataclass
from typing import Literal

Severity = Literal["fail", "review", "note"]
SEVERITIES: tuple[Severity, ...] = ("fail", "review", "note")


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

    def __str__(self) -> str:
        return (
            f"{self.file}:{self.line}:{self.column}: {self.severity}: {self.message} "
            f"[{self.rule}; {self.source}]"
        )
