"""The nearest change that cures a fault, found by changing a van and checking it again."""

from vandoc.judgement.checks.change import Change, changed
from vandoc.judgement.remedy.search import cures, fails, findings, stopping

__all__ = ["Change", "changed", "cures", "fails", "findings", "stopping"]
