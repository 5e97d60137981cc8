"""What a van needs in a day, what sun, engine and hook-up give it, and how long its batteries last."""

from vandoc.energy.bank import Bank, BankCharger, BankLoad
from vandoc.energy.budget import FARTHEST_DEG, budget
from vandoc.energy.figure import Assumption, Figure, Term
from vandoc.energy.proposing import charger_outputs, complete
from vandoc.energy.results import (
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
    "charger_outputs",
    "complete",
]
