"""The rules, one file for each family; `run` judges a van by all of them."""

from collections.abc import Collection, Iterator
from posixpath import dirname, relpath

from vandoc.analysis import Van
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
from vandoc.checks.finding import SEVERITIES, Finding
from vandoc.checks.report import finding
from vandoc.checks.rule import Breach, Rule, checks, rules

__all__ = ["Finding", "Rule", "breaches", "rules", "run"]

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


def run(van: Van) -> tuple[Finding, ...]:
    """Check a van against every rule; done once and kept with the van.

    While a plus is joined to a minus, nothing else about the wiring means anything: then that is all that is
    found.

    Returns
    -------
    tuple of Finding
        In the order of the file, part sheets after it; at one place the graver first.
    """
    return van.once(_run)


def _run(van: Van) -> tuple[Finding, ...]:
    found = dict.fromkeys(finding(breach, van.van_file.locate) for breach in breaches(van))
    own = van.van_file.tree.location.file
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


def breaches(van: Van, wanted: Collection[str] | None = None) -> Iterator[Breach]:
    """Yield what breaks the rules; with `wanted`, only the checks that may yield one of these run."""
    shorted = connections.is_shorted(van)
    for check, slugs in checks().items():
        if shorted and check is not connections.short_circuit:
            continue
        if wanted is not None and not set(slugs) & set(wanted):
            continue
        for breach in check(van):
            if breach.rule not in slugs:
                raise LookupError(f"{check.__name__} yields {breach.rule!r}, but names only {slugs}")
            yield breach
