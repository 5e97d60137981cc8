"""Changes between revisions of a van, found by comparison."""

from vandoc.judgement.history.changes import ChangedValue, Changes, compare
from vandoc.judgement.history.labels import Label, stale_labels

__all__ = ["ChangedValue", "Changes", "Label", "compare", "stale_labels"]
