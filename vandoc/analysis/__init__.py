"""The analysed van: one object for all that is known and computed of one van."""

from vandoc.analysis.van import Van, exceeds

__all__ = ["Van", "exceeds"]
