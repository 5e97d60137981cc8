"""Sizing of cables and fuses: required current, current-carrying capacity, and proposed sizes."""

from vandoc.physics.sizing.results import Drop, SizedConductor, SizedFuse, Sizing
from vandoc.physics.sizing.sizer import size
from vandoc.physics.sizing.widths import Widths

__all__ = ["Drop", "SizedConductor", "SizedFuse", "Sizing", "Widths", "size"]
