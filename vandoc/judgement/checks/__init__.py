"""The rules, one file for each check; `run` checks a van against all of them."""

from collections.abc import Collection, Iterator
from posixpath import dirname, relpath

from vandoc.analysis import Van
from vandoc.ground.extensions import blamed
from vandoc.judgement.checks.finding import SEVERITIES, Finding
from vandoc.judgement.checks.report import finding
from vandoc.judgement.checks.rule import Breach, Rule, registered, rules
from vandoc.judgement.checks.shared.connections import is_shorted

__all__ = ["Finding", "Rule", "breaches", "rules", "run"]

SHORT_CIRCUIT = "short-circuit"  # the only meaningful rule while a positive is connected to a negative


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
    found = dict.fromkeys(finding(breach, van.van_file.locate) for breach in breaches(van))
    own = van.van_file.tree.location.file
    return tuple(
        sorted(
            found,
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


def breaches(van: Van, wanted: Collection[str] | None = None) -> Iterator[Breach]:
    """Yield the breaches of the rules; with `wanted`, run only the checks that can yield one of these."""
    shorted = is_shorted(van)
    for one in registered():
        if shorted and SHORT_CIRCUIT not in one.slugs:
            continue
        if wanted is not None and not set(one.slugs) & set(wanted):
            continue
        with blamed(one.package):
            # Rules of other packages get a copy of the van, so that they cannot change ours.
            for breach in list(one.check(van.once(Van.deep_copy) if one.package else van)):
                if breach.rule not in one.slugs:
                    raise LookupError(
                        f"{one.check.__name__} yields {breach.rule!r}, but declares {one.slugs}"
                    )
                yield breach
