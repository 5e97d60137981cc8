"""Changes between revisions of a van, found by comparison, and what a new version of vandoc changes."""

from vandoc.judgement.history.changes import ChangedValue, Changes, VersionChanges, by_vandoc, compare
from vandoc.judgement.history.labels import Label, stale_labels
from vandoc.judgement.history.results import CHOSEN, ChangedResult, calculated

__all__ = [
    "CHOSEN",
    "ChangedResult",
    "ChangedValue",
    "Changes",
    "Label",
    "VersionChanges",
    "by_vandoc",
    "calculated",
    "compare",
    "stale_labels",
]
