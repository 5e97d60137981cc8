"""What is not known, and what therefore cannot be told.

A van with unknown values is analysed several times, each time with other values in their place, from one end
of what can be fitted to the other. A result that is the same every time does not depend on them. Any other
cannot be told: no value of ours ever reaches a reader.
"""

from vandoc.analysis.unknown.agreement import agreed, as_agreed
from vandoc.analysis.unknown.supposing import invented, restored, supposed

__all__ = ["agreed", "as_agreed", "invented", "restored", "supposed"]
