"""What each cable and fuse of one van must carry, what it can, and what is proposed for open ones."""

from vandoc.sizing.results import Drop, SizedConductor, SizedFuse, Sizing
from vandoc.sizing.sizer import size
from vandoc.sizing.widths import Widths

__all__ = ["Drop", "SizedConductor", "SizedFuse", "Sizing", "Widths", "size"]
