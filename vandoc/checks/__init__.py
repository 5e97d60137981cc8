"""The rules, one file for each family; `run` judges a van by all of them."""

from collections.abc import Collection, Iterator
from posixpath import dirname, relpath

from vandoc.checks import (
    batteries,
    capacity,
    charging,
    commissioning,
    connections,
    drop,
    energy,
    faults,
    fuses,
    mains,
    operating,
    personal,
    places,
    profiles,
    protection,
    ratings,
    returns,
    revisions,
    solar,
    terminals,
)
from vandoc.checks.case import Case, Recorded
from vandoc.checks.finding import SEVERITIES, Finding
from vandoc.checks.report import finding
from vandoc.checks.rule import Breach, Rule, checks, rules
from vandoc.loader import VanFile

__all__ = ["Finding", "Recorded", "Rule", "breaches", "rules", "run"]

_FAMILIES = (  # to import one is to register its rules
    connections,
    protection,
    capacity,
    fuses,
    faults,
    ratings,
    drop,
    operating,
    returns,
    charging,
    profiles,
    solar,
    batteries,
    energy,
    places,
    terminals,
    mains,
    personal,
    commissioning,
    revisions,
)


def run(van_file: VanFile, case: Case) -> tuple[Finding, ...]:
    """Judge a van by every rule.

    While a plus is joined to a minus, nothing else about the wiring means anything: then that is all that is
    found.

    Returns
    -------
    tuple of Finding
        In the order of the file, part sheets after it; at one place the graver first.
    """
    found = dict.fromkeys(finding(breach, van_file.locate) for breach in breaches(case))
    own = van_file.tree.location.file
    return tuple(
        sorted(
            found,
            key=lambda f: (
                f.file != own,
                relpath(f.file, dirname(own) or "."),  # the same from every working folder
                f.line,
                f.column,
                SEVERITIES.index(f.severity),
                f.rule,
                f.subject,
                f.message,
            ),
        )
    )


def breaches(case: Case, wanted: Collection[str] | None = None) -> Iterator[Breach]:
    """Yield what breaks the rules; with `wanted`, only the checks that may yield one of these run."""
    shorted = connections.is_shorted(case)
    for check, slugs in checks().items():
        if shorted and check is not connections.short_circuit:
            continue
        if wanted is not None and not set(slugs) & set(wanted):
            continue
        for breach in check(case):
            if breach.rule not in slugs:
                raise LookupError(f"{check.__name__} yields {breach.rule!r}, but names only {slugs}")
            yield breach
