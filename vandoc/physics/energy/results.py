"""Results of the energy budget of a van."""

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
    """The daily need of one consumer; `owner` is a load, an inverter, a monitor, or a battery with its
    self-discharge. [Ah/d]"""

    owner: str
    hours: float
    charge: Figure


@dataclass(frozen=True)
class SeasonBudget:
    """One half of the year, the warm or the cold season.

    Attributes
    ----------
    months : tuple of int
        The months of the season in which the van is used; empty if it is not used.
    uses : tuple of DailyUse
        Largest first.
    need : Figure
        In a day. [Ah]
    usable : Figure
        Usable capacity from full. [Ah]
    days_dark : Figure
        Autonomy from full without charging. [d]
    days_sun : Figure or None
        Autonomy with average solar charging; infinite if solar covers the need. [d]
    sun : Figure or None
        Average daily solar yield in its months. [Ah]
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
    """Solar yield against need in a month; `chargers` holds the share of each solar charger. [Ah/d]"""

    month: int
    season: Season
    used: bool
    sun: Figure
    need: Figure
    chargers: tuple[tuple[str, Figure], ...]

    @property
    def covered(self) -> Covered:
        """Whether solar alone covers the need: at both ends of the ranges, at one, or at none."""
        if self.sun.low >= self.need.high:
            return "always"
        return "sometimes" if self.sun.high >= self.need.low else "never"


@dataclass(frozen=True)
class Charging:
    """One charging source.

    Attributes
    ----------
    current : Figure or None
        Current left for the battery while loads run; None for solar. [A]
    to_full : Figure
        Time from the maximum depth of discharge to full: hours, for solar days. [h] or [d]
    per_day : Figure or None
        Charge of a day of usual driving or hook-up; None if its hours are not stated. [Ah]
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
    """The complete budget of one bank.

    Attributes
    ----------
    seasons : dict
    months : tuple of MonthBudget
        All twelve months; empty if latitude or panels are missing.
    charging : tuple of Charging
    all_on : Figure
        From full to discharged with everything switched on. [h]
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
