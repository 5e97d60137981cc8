"""What each cable and fuse of one van must carry, what it can, and what is proposed for open ones."""

from vandoc.physics.sizing.results import Drop, SizedConductor, SizedFuse, Sizing
from vandoc.physics.sizing.sizer import size
from vandoc.physics.sizing.widths import Widths

__all__ = ["Drop", "SizedConductor", "SizedFuse", "Sizing", "Widths", "size"]
