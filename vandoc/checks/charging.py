"""Whether the alternator can give, and the batteries can take, what the chargers and relays pass on."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce

from vandoc.calc.battery import Range, chemistry_figures
from vandoc.checks.amount import Amount
from vandoc.checks.case import Case, exceeds
from vandoc.checks.rule import Breach, Cited, Phrase, Word, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.network.currents import State
from vandoc.network.graph import Joint


def alternators_at(case: Case, node: str) -> list[tuple[str, eq.Alternator]]:
    """Return the alternators that feed a terminal other than through a split-charge relay."""
    found = [(s.owner, case.system.equipment[s.owner]) for s in case.sources_in(case.net(node), "alternator")]
    return [(ident, piece) for ident, piece in found if isinstance(piece, eq.Alternator)]


def split_charges(case: Case) -> Iterator[tuple[str, Joint, str]]:
    """Yield each relay that joins an alternator to leisure batteries: its name, contact and far side."""
    for joint in case.network.joints.values():
        if not case.is_split_charge(joint):
            continue
        for near, far in ((joint.start, joint.end), (joint.end, joint.start)):
            if alternators_at(case, near) and _leisure_at(case, far):
                yield joint.owner, joint, far


def _leisure_at(case: Case, node: str) -> list[str]:
    return [s.owner for s in case.sources_in(case.net(node), "battery") if s.owner in case.leisure]


@rule("split-charge-on-smart-alternator")
def relay_on_smart(case: Case) -> Iterator[Breach]:
    """A plain relay hangs the leisure battery on an alternator whose voltage the vehicle's computer sets."""
    for ident, joint, far in split_charges(case):
        near = joint.start if far == joint.end else joint.end
        for alternator, piece in alternators_at(case, near):
            if piece.regulation == "smart":
                words = {"relay": case.name(ident), "alternator": case.name(alternator)}
                yield Breach("split-charge-on-smart-alternator", ident, case.trail(ident), words)


def _driving_chargers(case: Case) -> Iterator[tuple[str, eq.Charger]]:
    for ident, piece in case.of_kind(eq.Charger):
        if piece.source == "alternator":
            yield ident, piece


@rule("charger-without-own-voltage", "charger-without-ignition-feed")
def smart_alternator(case: Case) -> Iterator[Breach]:
    """On a smart alternator a charger makes its own voltage and knows when the engine runs."""
    for ident, charger in _driving_chargers(case):
        smart = [name for name, piece in alternators_at(case, f"{ident}.in") if piece.regulation == "smart"]
        if not smart:
            continue
        words = {"charger": case.name(ident), "alternator": case.names(smart)}
        if not charger.own_voltage:
            yield Breach("charger-without-own-voltage", ident, (*case.trail(ident), "own_voltage"), words)
        if not charger.ignition_feed:
            unknown = charger.ignition_feed is None
            trail = (*case.trail(ident), "ignition_feed")
            yield Breach("charger-without-ignition-feed", ident, trail, words, unknown=unknown)


@rule("alternator-overdrawn", "relay-overdraws-alternator")
def alternator_share(case: Case) -> Iterator[Breach]:
    """Charging leaves the alternator enough for the vehicle."""
    share = constant("alternator share to spare")
    for ident, alternator in case.of_kind(eq.Alternator):
        spare = share.value * alternator.rating_a if alternator.spare_a is None else alternator.spare_a
        cited: tuple[Cited | Phrase, ...] = (share,) if alternator.spare_a is None else (Phrase("stated"),)
        inputs = [
            consumer for consumer in case.consumers_in(case.net(f"{ident}.+")) if consumer.kind == "charger"
        ]
        relays = [
            (owner, case.amps(joint))
            for owner, joint, _ in split_charges(case)
            if {joint.start, joint.end} & case.net(f"{ident}.+")
        ]
        charging = sum(consumer.amps_a for consumer in inputs)
        total = charging + sum(amps for _, amps in relays)
        words: dict[str, Word] = {
            "alternator": case.name(ident),
            "users": case.names([c.owner for c in inputs] + [owner for owner, _ in relays]),
            "rating": Amount(alternator.rating_a, "A"),
        }
        slug = "alternator-overdrawn" if exceeds(charging, spare) else "relay-overdraws-alternator"
        if exceeds(total, spare):
            found = Amount(total, "A")
            yield Breach(slug, ident, case.trail(ident), words, found, Amount(spare, "A"), cited)


@dataclass(frozen=True)
class Bank:
    """Leisure batteries joined directly, with what they may be charged with, all together.

    Attributes
    ----------
    idents : tuple of str
    limit_a, recommended_a : float
        The most that they bear; the most that keeps them long. [A]
    cited : tuple
        Where the limit and the recommendation come from.
    chargers : dict
        What charges them, by name, with its output. [A]
    """

    idents: tuple[str, ...]
    limit_a: float
    recommended_a: float
    cited: tuple[Cited | Phrase, Cited | Phrase]
    chargers: dict[str, float]


def banks(case: Case) -> Iterator[Bank]:
    """Yield the leisure batteries, those in parallel together."""
    seen: set[str] = set()
    for ident in case.leisure:
        if ident in seen:
            continue
        nodes = case.net(f"{ident}.+")
        idents = tuple(_leisure_at(case, f"{ident}.+"))
        seen.update(idents)
        pieces = [case.leisure[other] for other in idents]
        most = [_limit(piece) for piece in pieces]
        usual = [chemistry_figures(piece.chemistry).charge_current_c for piece in pieces]
        stated = all(piece.charge_limit_a is not None for piece in pieces)
        recommended = sum(r.high * p.capacity_ah for r, p in zip(usual, pieces, strict=True))
        limit = sum(amps for amps, _ in most)
        yield Bank(
            idents,
            limit,
            limit if stated else min(recommended, limit),
            (most[0][1], usual[0]),
            {s.owner: s.limit_a or 0.0 for s in case.sources_in(nodes, "charger")},
        )


def _limit(battery: eq.Battery) -> tuple[float, Cited | Phrase]:
    if battery.charge_limit_a is not None:
        return battery.charge_limit_a, Phrase("stated")
    figure: Range = chemistry_figures(battery.chemistry).largest_charge_current_c
    return figure.high * battery.capacity_ah, figure


@rule("charge-current-above-limit", "charge-current-above-recommended", "chargers-together-above-limit")
def charge_current(case: Case) -> Iterator[Breach]:
    """Each charger, and all of them together, give no more than the batteries may take."""
    for bank in banks(case):
        words = {"battery": case.names(bank.idents)}
        limit, usual = Amount(bank.limit_a, "A"), Amount(bank.recommended_a, "A")
        subject, most, keeps = bank.idents[0], bank.cited[:1], bank.cited[1:]
        worst = 0.0
        for ident, amps in bank.chargers.items():
            found = Amount(amps, "A")
            here = {**words, "charger": case.name(ident)}
            if exceeds(amps, bank.limit_a):
                yield Breach("charge-current-above-limit", ident, case.trail(ident), here, found, limit, most)
            elif exceeds(amps, bank.recommended_a):
                yield Breach(
                    "charge-current-above-recommended", ident, case.trail(ident), here, found, usual, keeps
                )
            worst = max(worst, amps)
        total = reduce(float.__add__, bank.chargers.values(), 0.0)
        if exceeds(total, bank.limit_a) and not exceeds(worst, bank.limit_a):
            words |= {"charger": case.names(bank.chargers)}
            yield Breach(
                "chargers-together-above-limit",
                subject,
                case.trail(subject),
                words,
                Amount(total, "A"),
                limit,
                most,
            )


@rule("relay-current-unlimited")
def relay_current(case: Case) -> Iterator[Breach]:
    """A relay limits nothing: a flat battery takes what the cables let through."""
    for ident, joint, far in split_charges(case):
        bank = next(bank for bank in banks(case) if set(bank.idents) & set(_leisure_at(case, far)))
        amps = abs(case.sizing.states[State.CHARGE].amps[joint.id])
        if exceeds(amps, bank.limit_a):
            words = {"relay": case.name(ident), "battery": case.names(bank.idents)}
            found, limit = Amount(amps, "A"), Amount(bank.limit_a, "A")
            yield Breach(
                "relay-current-unlimited", ident, case.trail(ident), words, found, limit, bank.cited[:1]
            )


@rule("charger-feeds-nothing")
def feeds_nothing(case: Case) -> Iterator[Breach]:
    """A charger's output reaches no battery."""
    for source in case.network.sources:
        if source.kind == "charger" and not case.sources_in(case.net(source.plus), "battery"):
            words = {"charger": case.name(source.owner)}
            yield Breach("charger-feeds-nothing", source.owner, case.trail(source.owner), words)


DECIDED = {
    "need": "charger-proposed-for-need",
    "panels": "charger-proposed-for-panels",
    "battery": "charger-held-by-battery",
    "alternator": "charger-held-by-alternator",
    "none fits": "no-charger-fits",
}


@rule(*DECIDED.values())
def proposed(case: Case) -> Iterator[Breach]:
    """The file leaves an output open; what was chosen is said, with what decided it."""
    for ident, charger in case.of_kind(eq.Charger):
        found = charger.proposed
        if found is None:
            continue
        figures = dict(found.figures)
        words: dict[str, Word] = {
            "charger": case.name(ident),
            "hours": Amount(figures.get("hours", 0.0), "h"),
            "need": Amount(figures.get("need_ah", 0.0), "Ah"),
            "efficiency": Amount(figures.get("efficiency", 0.0)),
            "power": Amount(figures.get("power_w", 0.0), "W"),
            "nominal": Amount(figures.get("nominal_v", 0.0), "V"),
            "needed": Amount(figures.get("needed_a", 0.0), "A"),
            "most": Amount(figures.get("most_a", 0.0), "A"),
        }
        yield Breach(DECIDED[found.decided], ident, case.trail(ident), words, Amount(found.value, "A"))
