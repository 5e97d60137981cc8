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
from vandoc.judgement.checks.rule import Breach, Rule, rules
from vandoc.model.references import Path as Trail

MAX_TRIALS = 40
EFFORT = 1000  # trials times cables, about three seconds; a clock would make two builds differ
MAX_TRIALS_EACH = 6  # trials for one fault
MAX_SECOND_CHANGES = 2  # second changes tried for one that cures a fault but causes another
MAX_TOGETHER = 4  # changes made together: a main cable, its return and its bonds
ABOUT_FUSES = "fuses"
"""Family whose questions a change should not raise, if a change of about the same work raises none."""
MUCH_WORSE = 1.1  # vandoc's own value: a larger cable may raise a current elsewhere a little
MORE_WORK = 1  # vandoc's own value: the additional work that a change without such a question is worth

Key = tuple[str, str, Trail]
Met = tuple[Key, bool]


@dataclass(frozen=True)
class _Outcome:
    """The breaches of the rules that can refuse a change, of a van after it."""

    breaches: tuple[Breach, ...]

    @cached_property
    def met(self) -> Counter[Met]:
        return Counter((_key(breach), _fails(breach)) for breach in self.breaches)


@dataclass(eq=False)
class _FaultToCure:
    """A fault whose remedy is searched for.

    Attributes
    ----------
    left : list of Change
        Changes to try, the nearest first: single ones, then those made together.
    tried : bool
        Whether any change was tried.
    untried : bool
        Whether a change was left untried because no trials were left.
    doubtful : Change or None
        The nearest change that cures the fault and raises a question.
    followed : set
        What was changed by those that were combined with others, and the faults that they left.
    later : list of Change
        Changes of the same values that left the same faults, to combine with others if all else fails.
    """

    breach: Breach
    left: list[Change]
    found: Change | None = None
    doubtful: Change | None = None
    tried: bool = False
    untried: bool = False
    followed: set[tuple[frozenset[Trail], frozenset[Key]]] = field(default_factory=set)
    later: list[Change] = field(default_factory=list)


@dataclass
class _Search:
    """The trials: each change once, up to the permitted number."""

    van: Van
    slugs: frozenset[str]
    trials: int
    outcomes: dict[Change, _Outcome] = field(default_factory=dict)
    added: dict[Change, list[Breach]] = field(default_factory=dict)
    latest: tuple[Change, Van] | None = None  # with its results; those of all trials would fill the memory

    @cached_property
    def before(self) -> _Outcome:
        return _Outcome(tuple(breaches(self.van, self.slugs)))

    @cached_property
    def _known(self) -> dict[Key, list[Breach]]:
        known: dict[Key, list[Breach]] = {}
        for breach in self.before.breaches:
            known.setdefault(_key(breach), []).append(breach)
        return known

    def judged(self, van: Van) -> _Outcome:
        """Judge a changed van; a breach that is as before is kept once, for most of them are."""
        return _Outcome(tuple(self._kept_once(breach) for breach in breaches(van, self.slugs)))

    def _kept_once(self, breach: Breach) -> Breach:
        return next((old for old in self._known.get(_key(breach), ()) if old == breach), breach)

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

    def asks(self, change: Change) -> bool:
        """Whether a change that was tried raises a question about a fuse that was not open before."""
        before, after = self.before.met, self.outcomes[change].met
        asked = [met for met in after if not met[1] and rules()[met[0][0]].family == ABOUT_FUSES]
        return any(after[met] > before[met] for met in asked)

    def companions(self, change: Change, breach: Breach) -> Iterator[Change]:
        """Yield a change that failed, combined with one that cures what is left.

        What is left is a fail that the change causes, or the same fault because of another fuse.
        """
        if len(change.parts) < MAX_TOGETHER:
            made = {part.edits[0][0] for part in change.parts}
            for new in self.left(change, breach)[:1]:
                for other in _candidates(self.after(change), new):
                    if other.also is None and other.edits[0][0] not in made:
                        yield change.together_with(other)

    def left(self, change: Change, breach: Breach) -> list[Breach]:
        """Return the fails that a change causes, or the same fault where another fuse still causes it."""
        if self._gone(change, breach):
            return self._added(change)
        same = [one for one in self.outcomes[change].breaches if _fails(one) and _key(one) == _key(breach)]
        fuse = breach.words.get("fuse")
        return [one for one in same if one.words.get("fuse") != fuse]

    def _gone(self, change: Change, breach: Breach) -> bool:
        before, after, key = self.before.met, self.outcomes[change].met, _key(breach)
        return not after[key, True] and after[key, False] <= before[key, False]

    def _added(self, change: Change) -> list[Breach]:
        if change not in self.added:
            before, after = self.before.met, self.outcomes[change]
            more = {met[0] for met, count in after.met.items() if met[1] and count > before[met]}
            self.added[change] = [
                one for one in after.breaches if _fails(one) and (_key(one) in more or self._worse(one))
            ]
        return self.added[change]

    def _worse(self, breach: Breach) -> bool:
        """Whether a fail that was there before is clearly farther from its limit than it was."""
        was = [_excess(old) for old in self._known.get(_key(breach), ()) if _fails(old)]
        return bool(was) and _excess(breach) > MUCH_WORSE * max(was)


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


def stopping(van: Van) -> tuple[Finding, ...]:
    """Return the failed findings that keep a manual from being published: those that nobody acknowledged."""
    return tuple(finding for finding in fails(van) if finding.acknowledged is None)


def _with_nearest(van: Van) -> tuple[Finding, ...]:
    found = run(van)
    if not any(finding.severity == "fail" for finding in found):
        return found
    if van.supposed:  # a change would be tried on a van that nobody knows
        own = rules()
        return tuple(
            replace(f, nearest=NearestChange(WORDS.say("unknown", cure=own[f.rule].cure.removesuffix("."))))
            if f.severity == "fail"
            else f
            for f in found
        )
    named: dict[Finding, NearestChange] = {}
    for one in _sought(van):
        nearest = one.found.said(van.system) if one.found else _rules_own(one)
        named.setdefault(in_words(one.breach, van.van_file.locate), nearest)
    measured = NearestChange(WORDS.say("measured"))
    return tuple(replace(f, nearest=named.get(f, measured)) if f.severity == "fail" else f for f in found)


def _rules_own(one: _FaultToCure) -> NearestChange:
    """Return the remedy that the rule itself states, and why no change is named."""
    why = "untried" if one.untried else "none" if one.tried else "cure"
    return NearestChange(WORDS.say(why, cure=rules()[one.breach.rule].cure.removesuffix(".")))


def cures(van: Van) -> Iterator[tuple[Breach, Change | None]]:
    """Yield each breach that fails with the nearest change that cures it; None if none was found.

    Breaches that one change cures have that change in common.
    """
    for one in _sought(van):
        yield one.breach, one.found


def _sought(van: Van) -> list[_FaultToCure]:
    """Search for all faults in turn, so that one fault does not use up the trials of the others."""
    # Readings were taken on the van as it is: no change of the file cures them or is their cause.
    slugs = frozenset(slug for slug, rule in rules().items() if _may_refuse(rule))
    trials = max(MAX_TRIALS_EACH, min(MAX_TRIALS, EFFORT // max(1, len(van.network.conductors))))
    search = _Search(van, slugs, trials)
    sought = [
        _FaultToCure(breach, list(islice(_candidates(van, breach), MAX_TRIALS_EACH)))
        for breach in search.before.breaches
        if _fails(breach)
    ]
    pending = sought
    while pending:
        pending = [one for one in pending if _try_next(search, one)]
    for one in sought:
        one.found = one.found or one.doubtful
    _share(search, sought)
    return sought


def _may_refuse(rule: Rule) -> bool:
    if rule.severity == "fail":
        return rule.family != "commissioning"
    return rule.severity == "review" and rule.family == ABOUT_FUSES


def _try_next(search: _Search, one: _FaultToCure) -> bool:
    """Try the next change for a fault; False if the search for it has ended."""
    while one.later and not one.left:
        _combine(search, one, one.later.pop(0))
    if not one.left or _too_far(one, one.left[0]):
        return False
    change = one.left.pop(0)
    outcome = search.cures(change, one.breach)
    one.tried = one.tried or outcome is not None
    if outcome is None:
        one.untried = True
        return False
    if not outcome:
        if _is_followed(search, one, change):
            one.later.append(change)
        else:
            _combine(search, one, change)
        return True
    if search.asks(change):
        one.doubtful = one.doubtful or change
        return True
    one.found = change
    return False


def _is_followed(search: _Search, one: _FaultToCure, change: Change) -> bool:
    """Whether a nearer change of the same values left the same faults, so that its companions come first."""
    values = frozenset(part.edits[0][0] for part in change.parts)
    found = values, frozenset(_key(left) for left in search.left(change, one.breach))
    known = found in one.followed
    one.followed.add(found)
    return known


def _combine(search: _Search, one: _FaultToCure, change: Change) -> None:
    """Put a change that failed among those to try, combined with others."""
    many = MAX_SECOND_CHANGES if change.also is None else 1  # a chain has no branches
    more = islice(search.companions(change, one.breach), many)
    one.left = sorted([*one.left, *more], key=lambda left: left.nearness)


def _too_far(one: _FaultToCure, change: Change) -> bool:
    """Whether a change is more work than it is worth to avoid the question of a change that cures."""
    return one.doubtful is not None and change.nearness[0] > one.doubtful.nearness[0] + MORE_WORK


def _share(search: _Search, sought: list[_FaultToCure]) -> None:
    """Give faults of one cause one change: of those found, the one that cures most faults comes first.

    A fault for which no change was found gets the one that cures it together with others.
    """
    left = list(sought)
    changes = list(dict.fromkeys(one.found for one in left if one.found is not None))
    while changes:
        cured = {change: [one for one in left if search.cures(change, one.breach)] for change in changes}
        best = min(changes, key=lambda change: (-len(cured[change]), change.nearness))
        done = frozenset(cured[best])
        for one in done:
            one.found = best
        left = [one for one in left if one not in done]
        changes.remove(best)


def _candidates(van: Van, breach: Breach) -> Iterator[Change]:
    rule = rules()[breach.rule]
    with blamed(rule.package):
        found = [change for cure in rule.cures for change in cure(van, breach)]
    yield from sorted(dict.fromkeys(found), key=lambda change: change.nearness)


def _key(breach: Breach) -> Key:
    return breach.rule, breach.subject, breach.trail


def _excess(breach: Breach) -> float:
    """Return how far the value of a breach is from its limit, in parts of the limit; 0 if it has none."""
    if breach.value is None or breach.limit is None or not breach.limit.value:
        return 0.0
    return abs(breach.value.value - breach.limit.value) / abs(breach.limit.value)


def _fails(breach: Breach) -> bool:
    return not breach.unknown and rules()[breach.rule].severity == "fail"
