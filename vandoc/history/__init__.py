"""What changed from one revision of a van to the next, computed by comparing them."""

from vandoc.history.changes import Change, Changes, Snapshot, compare, snapshot
from vandoc.history.labels import Label, stale_labels

__all__ = ["Change", "Changes", "Label", "Snapshot", "compare", "snapshot", "stale_labels"]
