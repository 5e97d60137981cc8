"""Proposed sizes for everything that a van file leaves open, each with the rule that decided it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum
from typing import Literal, get_args

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import next_rating, standard_ratings
from vandoc.ground.data import constant
from vandoc.ground.messages import Messages
from vandoc.ground.unknown import CANNOT_TELL, cannot_tell
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.change import file_key
from vandoc.judgement.checks.cures.sizes import area_trail
from vandoc.model.base import ProposedNumber
from vandoc.model.equipment import Battery, Charger
from vandoc.model.references import Path as Trail
from vandoc.physics import limits
from vandoc.physics.sizing import SizedConductor, SizedFuse

say = Messages("vandoc.judgement.proposals", "reasons").say

ProposalKind = Literal["battery", "charger", "fuse", "cable"]
PROPOSAL_KINDS: tuple[ProposalKind, ...] = get_args(ProposalKind)
UNITS = {"ah": "Ah", "a": "A", "h": "h", "hours": "h", "w": "W", "v": "V"}


@dataclass(frozen=True)
class Proposal:
    """A proposed size.

    Attributes
    ----------
    what : str
        `battery`, `charger`, `fuse` or `cable`.
    subject : str
        Name in lists: an item of equipment, a fuse board with its position, a cable.
    key : str
        Key of the value in the van file, such as ``circuits[3].cable.area``.
    value : float
        In `unit`.
    decided : str
        Short name of the rule that decided it.
    reason : str
        The rule with its figures.
    copper_mm2_m : float or None
        Cross-section times length, for cables only. [mm²·m]
    fits : bool
        Whether it is enough; False for the largest size if even that is too small.
    """

    what: ProposalKind
    subject: str
    key: str
    value: float
    unit: str
    decided: str
    reason: str
    copper_mm2_m: float | None = None
    fits: bool = True


@dataclass(frozen=True)
class Proposals:
    """All proposed sizes of a van.

    Attributes
    ----------
    items : tuple of Proposal
        Batteries, chargers and fuses in the order of the file, then cables, those of least copper first.
    copper_proposed_mm2_m, copper_all_mm2_m : float
        Cross-section times length of the proposed cables, and of all cables but the vehicle's own. [mm²·m]
    """

    items: tuple[Proposal, ...]
    copper_proposed_mm2_m: float
    copper_all_mm2_m: float


def proposals(van: Van) -> Proposals:
    """Return the proposals for sizes that a van file leaves open; cached on the van."""
    return van.once(_proposals)


def _proposals(van: Van) -> Proposals:
    cables = sorted(_cables(van), key=lambda item: (item.copper_mm2_m, item.key))
    ours = [sized for sized in van.sizing.conductors.values() if not sized.conductor.vehicle]
    return Proposals(
        (*_pieces(van), *_fuses(van), *cables),
        _total(item.copper_mm2_m or 0.0 for item in cables),
        _total(_copper(sized) for sized in ours),
    )


def _total(parts: Iterable[float]) -> float:
    known = list(parts)
    return CANNOT_TELL if any(map(cannot_tell, known)) else fsum(known)


def _pieces(van: Van) -> Iterator[Proposal]:
    for ident, battery in van.of_kind(Battery):
        if battery.proposed:
            trail: Trail = ("equipment", ident, "stated_ah")
            yield _piece(van, "battery", ident, trail, battery.proposed, "Ah")
    for ident, charger in van.of_kind(Charger):
        if charger.proposed:
            trail = ("equipment", ident, "stated_a")
            yield _piece(van, "charger", ident, trail, charger.proposed, "A")


def _piece(
    van: Van, what: ProposalKind, ident: str, trail: Trail, found: ProposedNumber, unit: str
) -> Proposal:
    figures = dict(found.figures)
    words: dict[str, object] = {name: _amount(name, value) for name, value in found.figures}
    words["asked"] = Amount(figures.get("nights", 0.0) * figures.get("need_ah", 0.0), "Ah")
    return _proposal(van, what, ident, trail, found.value, unit, found.decided, words)


def _amount(name: str, value: float) -> Amount:
    return Amount(value, UNITS.get(name.rpartition("_")[2], ""))


def _fuses(van: Van) -> Iterator[Proposal]:
    for sized in van.sizing.fuses.values():
        if sized.proposed:
            decided, words = _fuse_reason(van, sized)
            trail = (*sized.link.trail, "rating_a")
            yield _proposal(van, "fuse", sized.link.id, trail, sized.rating_a, "A", decided, words)


def _fuse_reason(van: Van, sized: SizedFuse) -> tuple[str, dict[str, object]]:
    multiple, fraction = constant("start-up multiple").value, limits.fuse_load(van.system).value
    fraction *= sized.ambient_factor
    asked = {
        "current": sized.design_a,
        "lasting": sized.continuous_a / fraction,
        "start": sized.start_a / multiple,
    }
    if sized.start_rating_a > (next_rating(sized.link.family, max(asked.values())) or 0.0):
        asked["started"] = sized.start_rating_a
    decided = max(asked, key=lambda name: asked[name]) if sized.fits else "none fits"
    if decided != "none fits" and asked[decided] < sized.rating_a == standard_ratings(sized.link.family)[0]:
        decided = "smallest made"
    words: dict[str, object] = {
        "needed": Amount(max(asked.values()), "A"),
        "rating": Amount(sized.rating_a, "A"),
        "lasting": Amount(sized.continuous_a, "A"),
        "start": Amount(sized.start_a, "A"),
        "fraction": Amount(100 * fraction, "%"),
        "multiple": Amount(multiple),
    }
    return decided, words


def _cables(van: Van) -> Iterator[Proposal]:
    for sized in van.sizing.conductors.values():
        conductor = sized.conductor
        if sized.proposed and not conductor.vehicle:
            words, trail, area = _cable_words(van, sized), area_trail(conductor), sized.area_mm2
            yield _proposal(van, "cable", conductor.id, trail, area, "mm²", sized.decided, words)


def _cable_words(van: Van, sized: SizedConductor) -> dict[str, object]:
    ident = sized.conductor.id
    drops = [drop for drop in van.sizing.drops.values() if any(step[0] == ident for step in drop.steps)]
    worst = max(drops, key=lambda drop: drop.percent / drop.limit.percent, default=None)
    supply = max(_supplies(van, sized), key=lambda one: one.area_mm2, default=None)
    return {
        "needed": Amount(sized.needed_a, "A"),
        "capacity": Amount(sized.capacity_a, "A"),
        "percent": Amount(worst.percent, "%") if worst else "",
        "limit": Amount(worst.limit.percent, "%") if worst else "",
        "owner": van.name(worst.owner) if worst else "",
        "supply": supply.size if supply else Amount(sized.area_mm2, "mm²"),
        "least": Amount(sized.area_mm2, "mm²"),
    }


def _supplies(van: Van, sized: SizedConductor) -> list[SizedConductor]:
    """Return the supply cables on the way to the load of a circuit from which a return comes."""
    own = sized.conductor
    return [
        one
        for one in van.sizing.conductors.values()
        if own.circuit
        and (one.conductor.circuit, one.conductor.leg) == (own.circuit, own.leg)
        and one.conductor.role == "supply"
    ]


def _copper(sized: SizedConductor) -> float:
    return sized.area_mm2 * sized.conductor.length_m


def _proposal(
    van: Van,
    what: ProposalKind,
    subject: str,
    trail: Trail,
    value: float,
    unit: str,
    decided: str,
    words: Mapping[str, object],
) -> Proposal:
    rule = say(f"{what}.{decided}.decided")
    reason = say("reason", decided=rule, figures=say(f"{what}.{decided}.figures", **words))
    sized = van.sizing.conductors[subject] if what == "cable" else None
    copper = _copper(sized) if sized else None
    key, fits = file_key(van.system, trail), decided != "none fits"
    return Proposal(what, subject, key, value, unit, rule, reason, copper, fits)


def listed(found: Proposals) -> str:
    """Return proposals as a table of text, one kind after the other."""
    if not found.items:
        return say("none")
    lines: list[str] = []
    for what in PROPOSAL_KINDS:
        mine = [item for item in found.items if item.what == what]
        if mine:
            lines += [say(f"head.{what}"), *_table(mine)]
    copper = [Amount(total, "mm²·m") for total in (found.copper_proposed_mm2_m, found.copper_all_mm2_m)]
    return "\n".join([*lines, say("copper", proposed=copper[0], all=copper[1])])


def _table(items: list[Proposal]) -> Iterator[str]:
    sizes = [Amount(item.value, item.unit).text() for item in items]
    coppers = ["" if i.copper_mm2_m is None else Amount(i.copper_mm2_m, "mm²·m").text() for i in items]
    wide = max(len(item.subject) for item in items)
    for item, size, copper in zip(items, _right(sizes), _right(coppers), strict=True):
        cells = (item.subject.ljust(wide), size, copper, item.reason)
        yield "  " + "  ".join(cell for cell in cells if cell)


def _right(cells: list[str]) -> list[str]:
    wide = max(map(len, cells))
    return [cell.rjust(wide) for cell in cells]
