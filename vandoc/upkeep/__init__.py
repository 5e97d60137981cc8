"""What a van needs over the years: when its next service is due."""

from vandoc.upkeep.due import Due, due

__all__ = ["Due", "due"]
