"""The search for the nearest change that cures a fault: each trial changes a van and checks it again."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import islice

from vandoc.analysis import Van
from vandoc.ground.extensions import blamed
from vandoc.judgement.checks import breaches, run
from vandoc.judgement.checks.change import WORDS, Change, changed
from vandoc.judgement.checks.finding import Finding, NearestChange
from vandoc.judgement.checks.report import finding as in_words
from vandoc.judgement.checks.rule import Breach, rules
from vandoc.model.references import Path as Trail

MAX_TRIALS = 40
EFFORT = 600  # trials times cables, about a second and a half; a clock would make two builds differ
MAX_TRIALS_EACH = 6  # trials for one fault
MAX_SECOND_CHANGES = 2  # second changes tried for one that cures a fault but causes another

Key = tuple[str, str, Trail]
Met = tuple[Key, bool]


@dataclass(frozen=True)
class _Outcome:
    """The breaches of the rules that can fail, of a van after a change."""

    breaches: tuple[Breach, ...]

    @cached_property
    def met(self) -> Counter[Met]:
        return Counter((_key(breach), _fails(breach)) for breach in self.breaches)


@dataclass
class _FaultToCure:
    """A fault whose remedy is searched for: first one change, then two."""

    breach: Breach
    left: Iterator[Change]
    pairs: list[Change] = field(default_factory=list)
    found: Change | None = None
    untried: bool = False


@dataclass
class _Search:
    """The trials: each change once, up to the permitted number."""

    van: Van
    slugs: frozenset[str]
    trials: int
    outcomes: dict[Change, _Outcome] = field(default_factory=dict)
    latest: tuple[Change, Van] | None = None  # with its results; those of all trials would fill the memory

    @cached_property
    def before(self) -> _Outcome:
        return self.judged(self.van)

    def judged(self, van: Van) -> _Outcome:
        return _Outcome(tuple(breaches(van, self.slugs)))

    def after(self, change: Change) -> Van:
        if self.latest is None or self.latest[0] != change:
            self.latest = change, self.van.changed_with(lambda system: changed(system, change))
        return self.latest[1]

    def cures(self, change: Change, breach: Breach) -> bool | None:
        """Whether a change cures a breach and adds no fail; None if no trials are left."""
        if change not in self.outcomes:
            if self.trials <= 0:
                return None
            self.trials -= 1
            self.outcomes[change] = self.judged(self.after(change))
        return self._gone(change, breach) and not self._added(change)

    def pairs(self, change: Change, breach: Breach) -> Iterator[Change]:
        """Yield a change that cures a breach, combined with one that cures the fail that it causes."""
        if change.also is None and self._gone(change, breach):
            for new in self._added(change)[:1]:
                for other in _candidates(self.after(change), new):
                    if other.also is None and other.edits[0][0] != change.edits[0][0]:
                        yield change.together_with(other)

    def _gone(self, change: Change, breach: Breach) -> bool:
        before, after, key = self.before.met, self.outcomes[change].met, _key(breach)
        return not after[key, True] and after[key, False] <= before[key, False]

    def _added(self, change: Change) -> list[Breach]:
        before, after = self.before.met, self.outcomes[change]
        more = {met[0] for met, count in after.met.items() if met[1] and count > before[met]}
        return [breach for breach in after.breaches if _fails(breach) and _key(breach) in more]


def findings(van: Van) -> tuple[Finding, ...]:
    """Return the findings of a van; each `fail` has the nearest change that cures it.

    Returns
    -------
    tuple of Finding
        In the order of :func:`~vandoc.judgement.checks.run`, with `nearest` set if the severity is `fail`.
        They are cached on the van; a van without a fail needs no search.
    """
    return van.once(_with_nearest)


def fails(van: Van) -> tuple[Finding, ...]:
    """Return the failed findings."""
    return tuple(finding for finding in findings(van) if finding.severity == "fail")


def _with_nearest(van: Van) -> tuple[Finding, ...]:
    found = run(van)
    if not any(finding.severity == "fail" for finding in found):
        return found
    named: dict[Finding, NearestChange] = {}
    for one in _sought(van):
        nearest = (
            one.found.said(van.system) if one.found else NearestChange(WORDS.say(_WHY_NONE[one.untried]))
        )
        named.setdefault(in_words(one.breach, van.van_file.locate), nearest)
    measured = NearestChange(WORDS.say("measured"))
    return tuple(replace(f, nearest=named.get(f, measured)) if f.severity == "fail" else f for f in found)


_WHY_NONE = {False: "none", True: "untried"}


def cures(van: Van) -> Iterator[tuple[Breach, Change | None]]:
    """Yield each breach that fails with the nearest change that cures it; None if none was found."""
    for one in _sought(van):
        yield one.breach, one.found


def _sought(van: Van) -> list[_FaultToCure]:
    """Search for all faults in turn, so that one fault does not use up the trials of the others."""
    # Readings were taken on the van as it is: no change of the file cures them or is their cause.
    slugs = frozenset(
        slug for slug, rule in rules().items() if rule.severity == "fail" and rule.family != "commissioning"
    )
    trials = max(MAX_TRIALS_EACH, min(MAX_TRIALS, EFFORT // max(1, len(van.network.conductors))))
    search = _Search(van, slugs, trials)
    sought = [
        _FaultToCure(breach, islice(_candidates(van, breach), MAX_TRIALS_EACH))
        for breach in search.before.breaches
        if _fails(breach)
    ]
    pending = sought
    while pending:
        failed = []
        for one in pending:
            change = next(one.left, None) or (one.pairs.pop(0) if one.pairs else None)
            if change is None:
                continue
            outcome = search.cures(change, one.breach)
            if outcome:
                one.found = change
            elif outcome is None:
                one.untried = True
            else:
                one.pairs += islice(search.pairs(change, one.breach), MAX_SECOND_CHANGES)
                failed.append(one)
        pending = failed
    return sought


def _candidates(van: Van, breach: Breach) -> Iterator[Change]:
    rule = rules()[breach.rule]
    with blamed(rule.package):
        found = [change for cure in rule.cures for change in cure(van, breach)]
    yield from sorted(dict.fromkeys(found), key=lambda change: change.nearness)


def _key(breach: Breach) -> Key:
    return breach.rule, breach.subject, breach.trail


def _fails(breach: Breach) -> bool:
    return not breach.unknown and rules()[breach.rule].severity == "fail"
