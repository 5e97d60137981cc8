"""Maintenance of a van over the years: which service tasks are due, and when."""

from vandoc.analysis.upkeep.due import ALARMS, DueTask, due

__all__ = ["ALARMS", "DueTask", "due"]
