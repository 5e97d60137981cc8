"""The analysed van: one object that holds what a van file states and everything computed from it."""

from vandoc.analysis.van import Van, exceeds

__all__ = ["Van", "exceeds"]
