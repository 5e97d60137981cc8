"""Entries under 'reviewed' for all findings of a van that are to be reviewed, and what becomes of them."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from vandoc.analysis import Van
from vandoc.judgement.checks import run
from vandoc.judgement.checks.finding import Finding, Reviewed
from vandoc.reading.loader import load

ABOUT_REVIEWS = {"review-void", "review-of-fail", "review-not-needed"}
WHY, EVIDENCE = "Short cable, measured.", "clamp meter, 52 A after 5 minutes"
SHOWN = Reviewed("Reed Electrics", "2026-05-02", WHY, EVIDENCE)


def entry(found: Finding, **other: str) -> dict[str, Any]:
    """Return the entry that accepts a finding."""
    stated = {"rule": found.rule, "subject": found.subject, "accepts": found.accepts}
    return {**stated, "by": SHOWN.by, "date": date(2026, 5, 2), "why": WHY, "evidence": EVIDENCE, **other}


def met(findings: tuple[Finding, ...]) -> set[tuple[str, str, str, str]]:
    """Return what is found, apart from the reviews."""
    return {(f.rule, f.severity, f.subject, f.message) for f in findings if f.rule not in ABOUT_REVIEWS}


def judged(plain: Mapping[str, Any], path: Path) -> tuple[Finding, ...]:
    """Return the findings of a van file with this content."""
    path.write_text(yaml.safe_dump(dict(plain), sort_keys=False, allow_unicode=True), "utf-8")
    return run(Van.of(load(path)))


def cleared(plain: Mapping[str, Any], path: Path) -> set[str]:
    """Accept all that is to be reviewed, check that nothing else changes, and return the rules accepted."""
    before = judged(plain, path)
    wanted = [found for found in before if found.open]
    assert all(found.accepts for found in wanted)
    after = judged({**plain, "reviewed": [entry(found) for found in wanted]}, path)
    assert met(after) == met(before)
    assert not [found for found in after if found.open or found.rule in ABOUT_REVIEWS]
    assert [found.reviewed for found in after if found.severity == "review"] == [SHOWN] * len(wanted)
    return {found.rule for found in wanted}
