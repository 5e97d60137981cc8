"""Whether the alternator can give, and the batteries can take, what the chargers and relays pass on."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce

from vandoc.analysis import Van, exceeds
from vandoc.calc.battery import Range, chemistry_figures
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, Cited, Phrase, Word, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.network.currents import State
from vandoc.network.graph import Joint


def alternators_at(van: Van, node: str) -> list[tuple[str, eq.Alternator]]:
    """Return the alternators that feed a terminal other than through a split-charge relay."""
    found = [(s.owner, van.system.equipment[s.owner]) for s in van.sources_in(van.net(node), "alternator")]
    return [(ident, piece) for ident, piece in found if isinstance(piece, eq.Alternator)]


def split_charges(van: Van) -> Iterator[tuple[str, Joint, str]]:
    """Yield each relay that joins an alternator to leisure batteries: its name, contact and far side."""
    for joint in van.network.joints.values():
        if not van.is_split_charge(joint):
            continue
        for near, far in ((joint.start, joint.end), (joint.end, joint.start)):
            if alternators_at(van, near) and _leisure_at(van, far):
                yield joint.owner, joint, far


def _leisure_at(van: Van, node: str) -> list[str]:
    return [s.owner for s in van.sources_in(van.net(node), "battery") if s.owner in van.leisure]


@rule("split-charge-on-smart-alternator")
def relay_on_smart(van: Van) -> Iterator[Breach]:
    """A plain relay hangs the leisure battery on an alternator whose voltage the vehicle's computer sets."""
    for ident, joint, far in split_charges(van):
        near = joint.start if far == joint.end else joint.end
        for alternator, piece in alternators_at(van, near):
            if piece.regulation == "smart":
                words = {"relay": van.name(ident), "alternator": van.name(alternator)}
                yield Breach("split-charge-on-smart-alternator", ident, van.trail(ident), words)


def _driving_chargers(van: Van) -> Iterator[tuple[str, eq.Charger]]:
    for ident, piece in van.of_kind(eq.Charger):
        if piece.source == "alternator":
            yield ident, piece


@rule("charger-without-own-voltage", "charger-without-ignition-feed")
def smart_alternator(van: Van) -> Iterator[Breach]:
    """On a smart alternator a charger makes its own voltage and knows when the engine runs."""
    for ident, charger in _driving_chargers(van):
        smart = [name for name, piece in alternators_at(van, f"{ident}.in") if piece.regulation == "smart"]
        if not smart:
            continue
        words = {"charger": van.name(ident), "alternator": van.names(smart)}
        if not charger.own_voltage:
            yield Breach("charger-without-own-voltage", ident, (*van.trail(ident), "own_voltage"), words)
        if not charger.ignition_feed:
            unknown = charger.ignition_feed is None
            trail = (*van.trail(ident), "ignition_feed")
            yield Breach("charger-without-ignition-feed", ident, trail, words, unknown=unknown)


@rule("alternator-overdrawn", "relay-overdraws-alternator")
def alternator_share(van: Van) -> Iterator[Breach]:
    """Charging leaves the alternator enough for the vehicle."""
    share = constant("alternator share to spare")
    for ident, alternator in van.of_kind(eq.Alternator):
        spare = share.value * alternator.rating_a if alternator.spare_a is None else alternator.spare_a
        cited: tuple[Cited | Phrase, ...] = (share,) if alternator.spare_a is None else (Phrase("stated"),)
        inputs = [
            consumer for consumer in van.consumers_in(van.net(f"{ident}.+")) if consumer.kind == "charger"
        ]
        relays = [
            (owner, van.amps(joint))
            for owner, joint, _ in split_charges(van)
            if {joint.start, joint.end} & van.net(f"{ident}.+")
        ]
        charging = sum(consumer.amps_a for consumer in inputs)
        total = charging + sum(amps for _, amps in relays)
        words: dict[str, Word] = {
            "alternator": van.name(ident),
            "users": van.names([c.owner for c in inputs] + [owner for owner, _ in relays]),
            "rating": Amount(alternator.rating_a, "A"),
        }
        slug = "alternator-overdrawn" if exceeds(charging, spare) else "relay-overdraws-alternator"
        if exceeds(total, spare):
            found = Amount(total, "A")
            yield Breach(slug, ident, van.trail(ident), words, found, Amount(spare, "A"), cited)


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


def banks(van: Van) -> Iterator[Bank]:
    """Yield the leisure batteries, those in parallel together."""
    seen: set[str] = set()
    for ident in van.leisure:
        if ident in seen:
            continue
        nodes = van.net(f"{ident}.+")
        idents = tuple(_leisure_at(van, f"{ident}.+"))
        seen.update(idents)
        pieces = [van.leisure[other] for other in idents]
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
            {s.owner: s.limit_a or 0.0 for s in van.sources_in(nodes, "charger")},
        )


def _limit(battery: eq.Battery) -> tuple[float, Cited | Phrase]:
    if battery.charge_limit_a is not None:
        return battery.charge_limit_a, Phrase("stated")
    figure: Range = chemistry_figures(battery.chemistry).largest_charge_current_c
    return figure.high * battery.capacity_ah, figure


@rule("charge-current-above-limit", "charge-current-above-recommended", "chargers-together-above-limit")
def charge_current(van: Van) -> Iterator[Breach]:
    """Each charger, and all of them together, give no more than the batteries may take."""
    for bank in banks(van):
        words = {"battery": van.names(bank.idents)}
        limit, usual = Amount(bank.limit_a, "A"), Amount(bank.recommended_a, "A")
        subject, most, keeps = bank.idents[0], bank.cited[:1], bank.cited[1:]
        worst = 0.0
        for ident, amps in bank.chargers.items():
            found = Amount(amps, "A")
            here = {**words, "charger": van.name(ident)}
            if exceeds(amps, bank.limit_a):
                yield Breach("charge-current-above-limit", ident, van.trail(ident), here, found, limit, most)
            elif exceeds(amps, bank.recommended_a):
                yield Breach(
                    "charge-current-above-recommended", ident, van.trail(ident), here, found, usual, keeps
                )
            worst = max(worst, amps)
        total = reduce(float.__add__, bank.chargers.values(), 0.0)
        if exceeds(total, bank.limit_a) and not exceeds(worst, bank.limit_a):
            words |= {"charger": van.names(bank.chargers)}
            yield Breach(
                "chargers-together-above-limit",
                subject,
                van.trail(subject),
                words,
                Amount(total, "A"),
                limit,
                most,
            )


@rule("relay-current-unlimited")
def relay_current(van: Van) -> Iterator[Breach]:
    """A relay limits nothing: a flat battery takes what the cables let through."""
    for ident, joint, far in split_charges(van):
        bank = next(bank for bank in banks(van) if set(bank.idents) & set(_leisure_at(van, far)))
        amps = abs(van.sizing.states[State.CHARGE].amps[joint.id])
        if exceeds(amps, bank.limit_a):
            words = {"relay": van.name(ident), "battery": van.names(bank.idents)}
            found, limit = Amount(amps, "A"), Amount(bank.limit_a, "A")
            yield Breach(
                "relay-current-unlimited", ident, van.trail(ident), words, found, limit, bank.cited[:1]
            )


@rule("charger-feeds-nothing")
def feeds_nothing(van: Van) -> Iterator[Breach]:
    """A charger's output reaches no battery."""
    for source in van.network.sources:
        if source.kind == "charger" and not van.sources_in(van.net(source.plus), "battery"):
            words = {"charger": van.name(source.owner)}
            yield Breach("charger-feeds-nothing", source.owner, van.trail(source.owner), words)


DECIDED = {
    "need": "charger-proposed-for-need",
    "panels": "charger-proposed-for-panels",
    "battery": "charger-held-by-battery",
    "alternator": "charger-held-by-alternator",
    "none fits": "no-charger-fits",
}


@rule(*DECIDED.values())
def proposed(van: Van) -> Iterator[Breach]:
    """The file leaves an output open; what was chosen is said, with what decided it."""
    for ident, charger in van.of_kind(eq.Charger):
        found = charger.proposed
        if found is None:
            continue
        figures = dict(found.figures)
        words: dict[str, Word] = {
            "charger": van.name(ident),
            "hours": Amount(figures.get("hours", 0.0), "h"),
            "need": Amount(figures.get("need_ah", 0.0), "Ah"),
            "efficiency": Amount(figures.get("efficiency", 0.0)),
            "power": Amount(figures.get("power_w", 0.0), "W"),
            "nominal": Amount(figures.get("nominal_v", 0.0), "V"),
            "needed": Amount(figures.get("needed_a", 0.0), "A"),
            "most": Amount(figures.get("most_a", 0.0), "A"),
        }
        yield Breach(DECIDED[found.decided], ident, van.trail(ident), words, Amount(found.value, "A"))
