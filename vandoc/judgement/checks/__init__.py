"""The rules, one file for each check; `run` checks a van against all of them."""

from posixpath import dirname, relpath

from vandoc.analysis import Van
from vandoc.judgement.checks.finding import SEVERITIES, Finding
from vandoc.judgement.checks.found import breaches, reviewed
from vandoc.judgement.checks.rule import Rule, rules

__all__ = ["Finding", "Rule", "breaches", "rules", "run"]


def run(van: Van) -> tuple[Finding, ...]:
    """Check a van against every rule; the result is cached on the van.

    If a positive is connected to a negative, no other finding about the wiring is meaningful: then the short
    circuit is the only one.

    Returns
    -------
    tuple of Finding
        In the order of the file, then of the part sheets; at one position the most severe first.
    """
    return van.once(_run)


def _run(van: Van) -> tuple[Finding, ...]:
    own = van.van_file.tree.location.file
    return tuple(
        sorted(
            reviewed(van),
            key=lambda f: (
                f.file != own,
                relpath(f.file, dirname(own) or "."),  # independent of the working folder
                f.line,
                f.column,
                SEVERITIES.index(f.severity),
                f.rule,
                f.subject,
                f.message,
            ),
        )
    )
