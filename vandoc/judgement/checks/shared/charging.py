"""Functions shared by the rules on charging."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum, inf

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import CitedFigure, Phrase
from vandoc.model import equipment as eq
from vandoc.physics.network.graph import Joint, splits_charge


def alternators_at(van: Van, node: str) -> list[tuple[str, eq.VehicleSource]]:
    """Return the alternators that supply a terminal, except through a split-charge relay."""
    pieces = van.system.of_kind(eq.VehicleSource)
    return [(s.owner, pieces[s.owner]) for s in van.sources_in(van.net(node), "alternator")]


def split_charges(van: Van) -> Iterator[tuple[str, Joint, str]]:
    """Yield each relay between an alternator and leisure batteries: its name, contact and battery side."""
    for joint in van.network.joints.values():
        if not splits_charge(joint):
            continue
        for near, far in ((joint.start, joint.end), (joint.end, joint.start)):
            if alternators_at(van, near) and leisure_at(van, far):
                yield joint.owner, joint, far


def leisure_at(van: Van, node: str) -> list[str]:
    return [s.owner for s in van.sources_in(van.net(node), "battery") if s.owner in van.leisure]


@dataclass(frozen=True)
class Bank:
    """Leisure batteries connected directly, with the charging current limits of the whole bank.

    Attributes
    ----------
    idents : tuple of str
    limit_a, recommended_a : float
        Maximum charging current; maximum recommended for long life; infinite if not known. [A]
    cited : tuple
        Sources of the limit and of the recommendation, of each that is known.
    chargers : dict
        Output current of each charger by its name. [A]
    charges_from : dict
        What each charger charges from, by its name.
    """

    idents: tuple[str, ...]
    limit_a: float
    recommended_a: float
    cited: tuple[tuple[CitedFigure | Phrase, ...], tuple[CitedFigure | Phrase, ...]]
    chargers: dict[str, float]
    charges_from: dict[str, str | None]

    def together(self) -> list[dict[str, float]]:
        """Return the chargers that can run at once: while driving, and on hook-up, with those of the sun."""
        apart = ("alternator", "mains")
        return [
            {name: amps for name, amps in self.chargers.items() if self.charges_from[name] != other}
            for other in apart
        ]


def banks(van: Van) -> Iterator[Bank]:
    """Yield the banks of leisure batteries; batteries in parallel form one bank."""
    seen: set[str] = set()
    for ident in van.leisure:
        if ident in seen:
            continue
        nodes = van.net(f"{ident}.+")
        idents = tuple(leisure_at(van, f"{ident}.+"))
        seen.update(idents)
        pieces = [van.leisure[other] for other in idents]
        most = [limit_of(piece) for piece in pieces]
        usual = [piece.traits.charge_current_c for piece in pieces]
        stated = all(piece.charge_limit_a is not None for piece in pieces)
        recommended = fsum(r.high * p.capacity_ah if r else inf for r, p in zip(usual, pieces, strict=True))
        limit = fsum(amps for amps, _ in most)
        yield Bank(
            idents,
            limit,
            limit if stated else min(recommended, limit),
            (most[0][1], () if usual[0] is None else (usual[0],)),
            {s.owner: s.limit_a or 0.0 for s in van.sources_in(nodes, "charger")},
            {s.owner: s.charges_from for s in van.sources_in(nodes, "charger")},
        )


def limit_of(battery: eq.Battery) -> tuple[float, tuple[CitedFigure | Phrase, ...]]:
    """Return the charging current limit, infinite if not known, with its source. [A]"""
    if battery.charge_limit_a is not None:
        return battery.charge_limit_a, (Phrase("stated"),)
    figure = battery.traits.largest_charge_current_c
    return (inf, ()) if figure is None else (figure.high * battery.capacity_ah, (figure,))
