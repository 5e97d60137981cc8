"""Battery banks, each with its loads and chargers."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum, inf
from typing import Literal

from vandoc.ground.calc.battery import rest_voltage
from vandoc.ground.chemistry import Chemistry, Range, chemistry_of
from vandoc.model.equipment import Battery
from vandoc.model.system import CompletedSystem
from vandoc.model.van import Hours
from vandoc.physics.network.expand import efficiency_of
from vandoc.physics.network.graph import Consumer, Edge, Network, splits_charge

Behaves = Literal["current", "power", "resistance"]
ALL_DAY = Hours.model_construct(summer_h=24.0, winter_h=24.0)


@dataclass(frozen=True)
class BankLoad:
    """A consumer as seen by the bank.

    Attributes
    ----------
    owner : str
    amps_a : float
        From the bank at its nominal voltage, losses of a converter included. [A]
    behaves : str
        The quantity that stays constant when the voltage changes.
    hours : Hours or None
        Running hours a day; None where the file does not say.
    """

    owner: str
    amps_a: float
    behaves: Behaves
    hours: Hours | None


@dataclass(frozen=True)
class BankCharger:
    """A source that charges a bank.

    Attributes
    ----------
    owner : str
        A charger, a split-charge relay, or panels connected directly to the battery.
    source : str
    amps_a : float
        Maximum output, infinite if the source has no limit of its own. [A]
    arrays : tuple of str
        The panels of a solar charger.
    """

    owner: str
    source: Literal["alternator", "relay", "solar", "mains"]
    amps_a: float
    arrays: tuple[str, ...] = ()


@dataclass(frozen=True)
class Bank:
    """Leisure batteries connected in one bank, with the loads and chargers at them.

    Attributes
    ----------
    batteries : tuple of str
    chemistries : tuple of str
        More than one if different chemistries are connected.
    capacity_ah : float
        All together, 20 h rating. [Ah]
    nominal_v : float
        [V]
    cells : int or None
        In series, if stated.
    charge_limit_a : float
        Infinite where no battery states one. [A]
    draws : tuple of BankLoad
    feeds : tuple of BankCharger
    """

    batteries: tuple[str, ...]
    chemistries: tuple[str, ...]
    capacity_ah: float
    nominal_v: float
    cells: int | None
    charge_limit_a: float
    draws: tuple[BankLoad, ...]
    feeds: tuple[BankCharger, ...]

    @property
    def known(self) -> bool:
        """Whether every figure of its chemistries is known that a budget needs."""
        return all(self._has_figures(chemistry_of(name)) for name in self.chemistries)

    def _has_figures(self, chemistry: Chemistry) -> bool:
        return all(pick(chemistry) is not None for pick in FIGURES) and bool(
            rest_voltage(chemistry.key, self.nominal_v, self.cells) and chemistry.cold
        )

    def spread(self, pick: Callable[[Chemistry], Range | None]) -> Range:
        """Return a care figure as a range over all chemistries of the bank.

        Raises
        ------
        ValueError
            If it is not known of one of them; a bank that is `known` has all.
        """
        found = [figure for name in self.chemistries if (figure := pick(chemistry_of(name))) is not None]
        if len(found) < len(self.chemistries):
            raise ValueError(f"a figure of {', '.join(self.chemistries)} is not known")
        return Range(
            min(one.low for one in found),
            max(one.high for one in found),
            "; ".join(dict.fromkeys(one.source for one in found)),
            any(one.from_memory for one in found),
        )


FIGURES: tuple[Callable[[Chemistry], Range | None], ...] = (
    lambda chemistry: chemistry.absorption_v,
    lambda chemistry: chemistry.depth_of_discharge_percent,
    lambda chemistry: chemistry.charge_current_c,
    lambda chemistry: chemistry.self_discharge_percent_per_month,
    lambda chemistry: chemistry.peukert_exponent,
    lambda chemistry: chemistry.charge_efficiency,
    lambda chemistry: chemistry.charge_acceptance_per_h,
    lambda chemistry: chemistry.cycle_life,
    lambda chemistry: chemistry.calendar_life_a,
)


def banks(system: CompletedSystem, network: Network) -> tuple[Bank, ...]:
    """Return the leisure banks of a van, in the order of the file.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
        Of that system.

    Returns
    -------
    tuple of Bank
        Batteries belong to one bank if cables, fuses and closed contacts connect their positive terminals; a
        split-charge relay counts as open.
    """
    leisure = system.leisure
    found: list[Bank] = []
    seen: set[str] = set()
    for ident in leisure:
        if ident in seen:
            continue
        reached = network.flood([f"{ident}.+"], _parked)
        mine = {name: piece for name, piece in leisure.items() if f"{name}.+" in reached}
        seen |= set(mine)
        found.append(_bank(system, network, mine, reached))
    return tuple(found)


def _parked(edge: Edge) -> bool:
    return not splits_charge(edge)


def _bank(system: CompletedSystem, network: Network, mine: Mapping[str, Battery], reached: set[str]) -> Bank:
    first = next(iter(mine.values()))
    nominal = first.nominal_v or system.van.nominal_v
    limits = [piece.charge_limit_a for piece in mine.values() if piece.charge_limit_a is not None]
    return Bank(
        tuple(mine),
        tuple(dict.fromkeys(piece.chemistry for piece in mine.values())),
        fsum(piece.capacity_ah for piece in mine.values()),
        nominal,
        first.cells,
        fsum(limits) if len(limits) == len(mine) else inf,
        tuple(_draws(system, network, reached, nominal, set())),
        tuple(_feeds(system, network, reached)),
    )


def _draws(
    system: CompletedSystem,
    network: Network,
    reached: set[str],
    bank_v: float,
    through: set[str],
    share: float = 1.0,
) -> Iterator[BankLoad]:
    """Return the consumers at these terminals and downstream of the converters at them."""
    for consumer in network.consumers:
        if consumer.plus not in reached or consumer.kind == "charger":
            continue
        if consumer.kind == "converter":
            if consumer.owner not in through:
                beyond = network.flood([f"{consumer.owner}.out"], _parked)
                wider = share / efficiency_of(system.equipment[consumer.owner])
                yield from _draws(system, network, beyond, bank_v, {*through, consumer.owner}, wider)
            continue
        amps = consumer.amps_a * consumer.nominal_v / bank_v * share
        yield BankLoad(consumer.owner, amps, *_habits(system, consumer, behind=bool(through)))


def _habits(system: CompletedSystem, consumer: Consumer, *, behind: bool) -> tuple[Behaves, Hours | None]:
    if consumer.kind == "inverter":
        return "power", system.equipment[consumer.owner].hours_of_use()
    if consumer.kind == "monitor":
        return "current", ALL_DAY
    load = system.loads[consumer.owner]
    return ("power" if behind else load.behaves), load.hours


def _feeds(system: CompletedSystem, network: Network, reached: set[str]) -> Iterator[BankCharger]:
    sources = {source.owner: source for source in network.sources if source.plus in reached}
    for ident in system.equipment:
        source = sources.get(ident)
        if source is not None and source.kind == "charger" and source.charges_from is not None:
            arrays: tuple[str, ...] = ()
            if source.charges_from == "solar" and source.inlet is not None:
                panels = network.joined(source.inlet)
                arrays = tuple(s.owner for s in network.sources if s.kind == "solar" and s.plus in panels)
            yield BankCharger(ident, source.charges_from, source.limit_a or 0.0, arrays)
        elif source is not None and source.kind == "solar":
            yield BankCharger(ident, "solar", source.limit_a or 0.0, (ident,))
        for joint in network.joints_of(ident):
            ends = joint.start in reached, joint.end in reached
            if splits_charge(joint) and ends[0] != ends[1]:
                yield BankCharger(ident, "relay", inf)
