"""The energy budget: daily need, charging from solar, engine and hook-up, and autonomy of the batteries."""

from vandoc.physics.energy.bank import Bank, BankCharger, BankLoad
from vandoc.physics.energy.budget import FARTHEST_DEG, budget
from vandoc.physics.energy.figure import Assumption, Figure, Term
from vandoc.physics.energy.proposing import complete, provisional
from vandoc.physics.energy.results import (
    SEASONS,
    BankBudget,
    Charging,
    DailyUse,
    Energy,
    MonthBudget,
    Season,
    SeasonBudget,
)

__all__ = [
    "FARTHEST_DEG",
    "SEASONS",
    "Assumption",
    "Bank",
    "BankBudget",
    "BankCharger",
    "BankLoad",
    "Charging",
    "DailyUse",
    "Energy",
    "Figure",
    "MonthBudget",
    "Season",
    "SeasonBudget",
    "Term",
    "budget",
    "complete",
    "provisional",
]
