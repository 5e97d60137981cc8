"""What the energy budget of one van says."""

from dataclasses import dataclass
from typing import Literal

from vandoc.ground.calc.charge import ChargePoint
from vandoc.physics.energy.bank import Bank, BankCharger
from vandoc.physics.energy.figure import Figure

Season = Literal["summer", "winter"]
SEASONS: tuple[Season, ...] = ("summer", "winter")
Covered = Literal["always", "sometimes", "never"]


@dataclass(frozen=True)
class DailyUse:
    """What one consumer takes in a day; `owner` is a load, an inverter, a monitor, or a battery that loses
    charge by itself. [Ah/d]"""

    owner: str
    hours: float
    charge: Figure


@dataclass(frozen=True)
class SeasonBudget:
    """One half of the year, warm or cold.

    Attributes
    ----------
    months : tuple of int
        The months of the season in which the van is used; empty where it is not.
    uses : tuple of DailyUse
        Largest first.
    need : Figure
        In a day. [Ah]
    usable : Figure
        What may be drawn from full. [Ah]
    days_dark : Figure
        From full until empty, nothing charging. [d]
    days_sun : Figure or None
        The same with the sun of an average day; infinite where it covers the need. [d]
    sun : Figure or None
        What the panels give on an average day of its months. [Ah]
    """

    season: Season
    months: tuple[int, ...]
    uses: tuple[DailyUse, ...]
    need: Figure
    usable: Figure
    days_dark: Figure
    days_sun: Figure | None
    sun: Figure | None


@dataclass(frozen=True)
class MonthBudget:
    """Sun against need in a month; `chargers` are the parts of the sun by their solar charger. [Ah/d]"""

    month: int
    season: Season
    used: bool
    sun: Figure
    need: Figure
    chargers: tuple[tuple[str, Figure], ...]

    @property
    def covered(self) -> Covered:
        """Whether the sun alone covers the need: at both ends of the ranges, at one, at none."""
        if self.sun.low >= self.need.high:
            return "always"
        return "sometimes" if self.sun.high >= self.need.low else "never"


@dataclass(frozen=True)
class Charging:
    """One way to charge.

    Attributes
    ----------
    current : Figure or None
        What is left for the battery while loads run; None for the sun. [A]
    to_full : Figure
        From the depth the battery should not go below: hours, for the sun days. [h] or [d]
    per_day : Figure or None
        What it puts back in a day of usual driving or hook-up; None where their hours are not stated. [Ah]
    quick, slow : tuple of ChargePoint
        The course of a charge at either end of the range.
    """

    feed: BankCharger
    current: Figure | None
    to_full: Figure
    per_day: Figure | None
    quick: tuple[ChargePoint, ...]
    slow: tuple[ChargePoint, ...]


@dataclass(frozen=True)
class BankBudget:
    """All of it for one bank.

    Attributes
    ----------
    seasons : dict
    months : tuple of MonthBudget
        All twelve, empty where latitude or panels are missing.
    charging : tuple of Charging
    all_on : Figure
        From full until empty with everything switched on. [h]
    drawn : Figure
        In a year of use. [Ah/a]
    years : Figure
        Until it is worn out. [a]
    unstated : tuple of str
        Consumers whose hours the file does not state; none of them is counted.
    """

    bank: Bank
    seasons: dict[Season, SeasonBudget]
    months: tuple[MonthBudget, ...]
    charging: tuple[Charging, ...]
    all_on: Figure | None
    drawn: Figure
    years: Figure
    unstated: tuple[str, ...]


@dataclass(frozen=True)
class Energy:
    """The energy budget of a van.

    Attributes
    ----------
    banks : tuple of BankBudget
    missing : tuple of str
        Keys of the van file without which figures are missing: `use.latitude`, `use.driven`, `use.hook_up`.
    """

    banks: tuple[BankBudget, ...]
    missing: tuple[str, ...]
