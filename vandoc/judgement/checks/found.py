"""The findings of a van: of its equipment first, then of the reviews that persons have made of them."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

from vandoc.analysis import Van
from vandoc.ground.extensions import blamed
from vandoc.judgement.checks.finding import Finding, Reviewed
from vandoc.judgement.checks.report import finding
from vandoc.judgement.checks.rule import Breach, RegisteredRules, registered, say
from vandoc.judgement.checks.shared.connections import is_shorted
from vandoc.model.van import Review

SHORT_CIRCUIT = "short-circuit"  # the only meaningful rule while a positive is connected to a negative
ABOUT_FINDINGS = "reviewed"  # the family of rules that judge what was made of the findings of the others


def breaches(van: Van, wanted: Collection[str] | None = None) -> Iterator[Breach]:
    """Yield the breaches of the rules; with `wanted`, run only the checks that can yield one of these."""
    for one in _meaningful(van):
        if wanted is None or set(one.slugs) & set(wanted):
            yield from _of(one, van)


def unreviewed(van: Van) -> tuple[Finding, ...]:
    """Return the findings of all rules but those about reviews, as if nobody had reviewed any."""
    return van.once(_unreviewed)


def reviewed(van: Van) -> tuple[Finding, ...]:
    """Return all findings, with the reviews that hold."""
    late = (one for one in _meaningful(van) if one.family == ABOUT_FINDINGS)
    entries = van.system.reviewed
    return (*(replace(one, reviewed=accepting(one, entries)) for one in unreviewed(van)), *_worded(van, late))


def accepting(found: Finding, entries: Iterable[Review]) -> Reviewed | None:
    """Return the review that accepts a finding with these very values; never one of a `fail`."""
    for entry in entries if found.severity == "review" else ():
        if matches(entry, found) and " ".join(entry.accepts.split()) == found.accepts:
            return Reviewed(entry.by, entry.date.isoformat(), entry.why, entry.evidence)
    return None


def matches(entry: Review, found: Finding) -> bool:
    """Whether a review is about a finding, whatever the values."""
    return (entry.rule, entry.subject) == (found.rule, found.subject)


def _unreviewed(van: Van) -> tuple[Finding, ...]:
    return _worded(van, (one for one in _meaningful(van) if one.family != ABOUT_FINDINGS))


def _worded(van: Van, wanted: Iterable[RegisteredRules]) -> tuple[Finding, ...]:
    every = (breach for one in wanted for breach in _of(one, van))
    return tuple(dict.fromkeys(finding(breach, van.van_file.locate) for breach in every))


def _meaningful(van: Van) -> Iterator[RegisteredRules]:
    shorted = is_shorted(van)
    yield from (one for one in registered() if not shorted or SHORT_CIRCUIT in one.slugs)


def _of(one: RegisteredRules, van: Van) -> Iterator[Breach]:
    with blamed(one.package):
        # Rules of other packages get a copy of the van, so that they cannot change ours.
        for breach in list(one.check(van.once(Van.deep_copy) if one.package else van)):
            if breach.rule not in one.slugs:
                raise LookupError(
                    say("undeclared", name=one.check.__name__, slug=breach.rule, slugs=one.slugs)
                )
            yield breach
