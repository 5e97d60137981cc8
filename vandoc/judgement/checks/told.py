"""What can be told of a van with unknown values, and what cannot: the breaches of its analyses compared."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import cast

from vandoc.analysis import Van
from vandoc.analysis.unknown import agreed, invented
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Phrase, Word, rules
from vandoc.model.references import Path as Trail

NOT_KNOWN = Phrase("cannot-check")
Key = tuple[str, str, bool]


@dataclass(frozen=True)
class Undecided:
    """What cannot be told of one item: the rules that may be broken, by their slugs."""

    subject: str
    trail: Trail
    slugs: tuple[str, ...]


@dataclass(frozen=True)
class Told:
    """The breaches that do not depend on what is unknown, and what cannot be told.

    A breach that is there whatever the values is settled; figures in it that differ are not known.
    """

    settled: tuple[Breach, ...]
    undecided: tuple[Undecided, ...]


def compared(van: Van, found: Sequence[Sequence[Breach]]) -> Told:
    """Compare the breaches of each analysis of a van.

    Parameters
    ----------
    van : Van
    found : sequence of sequence of Breach
        Those of each van in `van.supposed`.
    """
    unreal = invented(van.stated, (one.stated for one in van.supposed))
    grouped = [_grouped(breaches, unreal) for breaches in found]
    settled: list[Breach] = []
    maybe: dict[str, dict[str, Trail]] = {}
    for key in dict.fromkeys(key for group in grouped for key in group):
        each = [group.get(key, []) for group in grouped]
        always = min(map(len, each))
        rule, subject, _ = key
        note = rules()[rule].severity == "note"
        for ones in zip(*(ones[:always] for ones in each), strict=True):
            if not note or len(set(map(str, ones))) == 1:
                settled.append(_settled(ones, unreal))
        if always < max(map(len, each)) and not note:
            trail = next(ones for ones in each if len(ones) > always)[always].trail
            maybe.setdefault(subject, {})[rule] = trail
    undecided = (
        Undecided(subject, next(iter(slugs.values())), tuple(slugs)) for subject, slugs in maybe.items()
    )
    return Told(tuple(settled), tuple(undecided))


def _settled(found: Sequence[Breach], unreal: frozenset[str]) -> Breach:
    """Return a breach that is there whatever the unknown values, without what depends on them."""
    first = found[0]
    if all(one == first for one in found):
        return first
    keys = [key for key in first.words if all(key in one.words for one in found)]
    return replace(
        first,
        words={key: _word([one.words[key] for one in found], unreal) for key in keys},
        value=_figure([one.value for one in found]),
        limit=_figure([one.limit for one in found]),
        cited=first.cited if all(one.cited == first.cited for one in found) else (),
        steps=first.steps if all(one.steps == first.steps for one in found) else (),
    )


def _word(found: Sequence[Word], unreal: frozenset[str]) -> Word:
    real = [word for word in found if not (isinstance(word, str) and any(name in word for name in unreal))]
    found = real or found
    if all(word == found[0] for word in found):
        return found[0]
    amounts = [word for word in found if isinstance(word, Amount)]
    return (_figure(amounts) if len(amounts) == len(found) else None) or NOT_KNOWN


def _figure(found: Sequence[Amount | None]) -> Amount | None:
    first = found[0]
    if first is None or any(one is None for one in found):
        return None
    return first if all(one == first for one in found) else cast(Amount, agreed(found))


def _grouped(breaches: Sequence[Breach], unreal: frozenset[str]) -> dict[Key, list[Breach]]:
    found: dict[Key, list[Breach]] = {}
    for breach in breaches:
        if not any(name in breach.subject for name in unreal):
            found.setdefault((breach.rule, breach.subject, breach.unknown), []).append(breach)
    return found
