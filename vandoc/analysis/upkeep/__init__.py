"""What a van needs over the years: when its next service is due."""

from vandoc.analysis.upkeep.due import DueTask, due

__all__ = ["DueTask", "due"]
