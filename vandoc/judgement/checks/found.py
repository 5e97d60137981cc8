"""The findings of a van: of its equipment first, then of the reviews that persons have made of them."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

from vandoc.analysis import Van
from vandoc.ground.extensions import blamed
from vandoc.judgement.checks.finding import Acknowledged, Finding, Reviewed
from vandoc.judgement.checks.report import finding
from vandoc.judgement.checks.rule import Breach, RegisteredRules, registered, say
from vandoc.judgement.checks.shared.connections import is_unsolvable
from vandoc.judgement.checks.told import Told, compared
from vandoc.model.van import Acknowledged as Entry
from vandoc.model.van import Review

SHORT_CIRCUIT = "short-circuit"  # the only meaningful rule while batteries drive current into each other
ABOUT_FINDINGS = "reviewed"  # the family of rules that judge what was made of the findings of the others
ABOUT_UNKNOWN = "unknown"  # the family of rules about what is unknown and cannot be told


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
    late = (breach for one in _meaningful(van) if one.family == ABOUT_FINDINGS for breach in _of(one, van))
    return (*(_as_accepted(van, one) for one in unreviewed(van)), *_worded(van, late))


def _as_accepted(van: Van, found: Finding) -> Finding:
    documented = van.system.documented
    known = acknowledging(found, documented.fails if documented else ())
    if found.severity == "fail" and documented is None:
        found = replace(found, accepts="")  # nobody can accept a fail
    return replace(found, reviewed=accepting(found, van.system.reviewed), acknowledged=known)


def accepting(found: Finding, entries: Iterable[Review]) -> Reviewed | None:
    """Return the review that accepts a finding with these very values; never one of a `fail`."""
    for entry in entries if found.severity == "review" else ():
        if _accepts(entry, found):
            return Reviewed(entry.by, entry.date.isoformat(), entry.why, entry.evidence)
    return None


def acknowledging(found: Finding, entries: Iterable[Entry]) -> Acknowledged | None:
    """Return the entry of a documented van by which a person knows of a `fail` with these very values."""
    for entry in entries if found.severity == "fail" else ():
        if _accepts(entry, found):
            return Acknowledged(entry.by, entry.date.isoformat(), entry.keep_off)
    return None


def matches(entry: Review | Entry, found: Finding) -> bool:
    """Whether a review or an acknowledgement is about a finding, whatever the values."""
    return (entry.rule, entry.subject) == (found.rule, found.subject)


def _accepts(entry: Review | Entry, found: Finding) -> bool:
    return matches(entry, found) and " ".join(entry.accepts.split()) == found.accepts


def _unreviewed(van: Van) -> tuple[Finding, ...]:
    if not van.supposed:
        return _worded(van, _early(van))
    about = (breach for one in _meaningful(van) if one.family == ABOUT_UNKNOWN for breach in _of(one, van))
    return _worded(van, (*told(van).settled, *about))


def _early(van: Van) -> Iterator[Breach]:
    for one in _meaningful(van):
        if one.family != ABOUT_FINDINGS:
            yield from _of(one, van)


def told(van: Van) -> Told:
    """Return what can be told of a van with unknown values, and what cannot; cached on the van."""
    return van.once(_told)


def _told(van: Van) -> Told:
    return compared(van, [list(_early(one)) for one in van.supposed])


def _worded(van: Van, every: Iterable[Breach]) -> tuple[Finding, ...]:
    return tuple(dict.fromkeys(finding(breach, van.van_file.locate) for breach in every))


def _meaningful(van: Van) -> Iterator[RegisteredRules]:
    shorted = is_unsolvable(van)
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
