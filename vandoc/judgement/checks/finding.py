"""The result of a check."""

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
        Wording of the change, or the reason why none is named.
    key : str or None
        Key of the value in the van file, such as ``circuits[3].cable.area``; None if no change is named.
    now, then : str or None
        The value before and after; `now` is None if the file does not state it.
    """

    text: str
    key: str | None = None
    now: str | None = None
    then: str | None = None


@dataclass(frozen=True)
class Reviewed:
    """A review of a finding by a person or workshop that accepted it as it is.

    Attributes
    ----------
    by : str
        Person or workshop.
    date : str
        ISO 8601.
    why, evidence : str
        Reason, and what it is based on.
    """

    by: str
    date: str
    why: str
    evidence: str


@dataclass(frozen=True)
class Acknowledged:
    """A failed check of a van that is documented as it was found, which a named person knows of.

    Attributes
    ----------
    by : str
        Person.
    date : str
        ISO 8601.
    keep_off : str
        What must stay off until it is put right.
    """

    by: str
    date: str
    keep_off: str


@dataclass(frozen=True, order=True)
class Finding:
    """A finding of one rule on one item of a van.

    Attributes
    ----------
    file, line, column : str, int, int
        Position in the van file, counted from 1.
    rule : str
        Slug of the rule.
    severity : str
        `fail`: failed. `review`: to be reviewed, or a figure is missing. `note`: for information.
    subject : str
        Item of equipment, load, cable, circuit or location, by its name in the van file.
    message : str
        One sentence with the numbers of this van.
    working : str
        The calculation with the numbers of this van, or empty.
    value, limit : float or None
        The value found and its limit, in `unit`.
    unit : str
    source : str
        Standard, edition and clause, or "common practice, no source"; marked "from memory" if not checked.
    package : str or None
        Name and version of the package of others whose rule it is; None for a rule of vandoc.
    nearest : NearestChange or None
        Set on a `fail` after the search for a remedy.
    accepts : str
        The values that a person accepts by reviewing it, as text; of a `fail` only if the van is documented
        as it was found. Empty for any other.
    reviewed : Reviewed or None
        The review that accepts it as it is. Its severity stays `review`.
    acknowledged : Acknowledged or None
        Who knows of a `fail` of a van that is documented as it was found. Its severity stays `fail`.
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
    package: str | None = None
    nearest: NearestChange | None = field(default=None, compare=False)
    accepts: str = field(default="", compare=False)
    reviewed: Reviewed | None = field(default=None, compare=False)
    acknowledged: Acknowledged | None = field(default=None, compare=False)

    @property
    def open(self) -> bool:
        """Whether it is a `review` that nobody has made."""
        return self.severity == "review" and self.reviewed is None

    def __str__(self) -> str:
        return (
            f"{self.file}:{self.line}:{self.column}: {self.severity}: {self.message} "
            f"[{'; '.join(filter(None, (self.rule, self.package, self.source)))}]"
        )
