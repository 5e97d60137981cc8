"""Proposed battery capacities and charger outputs for sizes left open in a van file.

A battery has the smallest standard capacity that lasts the planned nights. A charger has the smallest
standard output that restores a day's consumption in its daily hours, within the charging current limit of the
battery and the current available from the alternator.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import fsum, inf, isfinite

from vandoc.ground.data import constant
from vandoc.model.base import Decided, ProposedNumber
from vandoc.model.equipment import Battery, Charger, Sizable, SolarArray, VehicleSource
from vandoc.model.system import CompletedSystem, System
from vandoc.physics.energy import endurance, need
from vandoc.physics.energy.bank import Bank, BankCharger, banks
from vandoc.physics.energy.results import SEASONS, Season
from vandoc.physics.energy.sunshine import season_of
from vandoc.physics.network.expand import build, efficiency_of
from vandoc.physics.network.graph import Network, splits_charge

Figures = tuple[tuple[str, float], ...]
ROUNDING = 1 + 1e-6


def complete(system: System) -> CompletedSystem:
    """Propose the open sizes of batteries and chargers.

    Parameters
    ----------
    system : System
        As the van file states it.

    Returns
    -------
    CompletedSystem
        The same system if nothing is open; otherwise each open item has a size, explained by its `proposed`.
    """
    if not _open(system):
        return _completed(system)
    placed = provisional(system)
    network = build(placed)  # its shape does not depend on the sizes
    for bank in banks(placed, network):
        if not bank.known:  # nothing to propose a size by
            continue
        placed = _Proposer(placed, network, bank).made()
    return placed


def provisional(system: System) -> CompletedSystem:
    """Return the system with the smallest size for each open one, for questions that no size decides."""
    smallest = {ident: ProposedNumber(piece.usual_sizes()[0], "none fits") for ident, piece in _open(system)}
    return _with(_completed(system), smallest)


def _completed(system: System) -> CompletedSystem:
    return CompletedSystem.model_construct(system.model_fields_set, **dict(system))


def _open(system: System) -> list[tuple[str, Sizable]]:
    return [
        (ident, piece)
        for ident, piece in system.equipment.items()
        if isinstance(piece, Sizable) and piece.is_open()
    ]


def _with(system: CompletedSystem, chosen: Mapping[str, ProposedNumber]) -> CompletedSystem:
    equipment = dict(system.equipment)
    for ident, proposed in chosen.items():
        piece = equipment[ident]
        assert isinstance(piece, Sizable)
        equipment[ident] = piece.with_proposed(proposed)
    return system.model_copy(update={"equipment": equipment})


class _Proposer:
    """The open sizes of one bank and of its chargers."""

    def __init__(self, system: CompletedSystem, network: Network, bank: Bank) -> None:
        self.system, self.network, self.bank = system, network, bank
        self.seasons = _seasons(system)

    def made(self) -> CompletedSystem:
        self._batteries()
        self._chargers()
        return self.system

    def _batteries(self) -> None:
        mine = _batteries(self.system, self.bank)
        stated = [piece for piece in mine.values() if piece.stated_ah is not None]
        opened = [ident for ident, piece in mine.items() if piece.stated_ah is None]
        if opened:
            chosen = self._capacity(mine[opened[0]], stated, len(opened))
            self.system = _with(self.system, dict.fromkeys(opened, chosen))
            self.bank = replace(self.bank, capacity_ah=fsum(self._ah(name) for name in mine))

    def _ah(self, ident: str) -> float:
        return self.system.batteries[ident].capacity_ah

    def _capacity(self, battery: Battery, stated: list[Battery], count: int) -> ProposedNumber:
        """Propose a capacity for open batteries; in parallel with stated ones, the same capacity."""
        beside = fsum(piece.capacity_ah for piece in stated)
        sizes = (stated[0].capacity_ah,) if stated else battery.usual_sizes()
        chargers = self._given_chargers()
        for number, size in enumerate(sizes):
            bank = replace(self.bank, capacity_ah=beside + count * size)
            lasts, figures = self._lasts(bank)
            if stated or (lasts and chargers <= _largest_charge_a(battery, bank) * ROUNDING):
                decided: Decided = "alike" if stated else "nights"
                smaller = replace(self.bank, capacity_ah=count * sizes[number - 1]) if number else None
                if decided == "nights" and smaller and self._lasts(smaller)[0]:
                    decided = "charging"
                return ProposedNumber(size, decided, (*figures, ("charging_a", chargers)))
        return ProposedNumber(sizes[-1], "none fits", (*figures, ("charging_a", chargers)))

    def _given_chargers(self) -> float:
        """Return the largest stated output, used if no battery states its charging current limit. [A]"""
        if isfinite(self.bank.charge_limit_a):
            return 0.0
        chargers = self.system.of_kind(Charger)
        stated = (chargers[feed.owner].stated_a for feed in self.bank.feeds if feed.owner in chargers)
        return max(filter(None, stated), default=0.0)

    def _lasts(self, bank: Bank) -> tuple[bool, Figures]:
        """Return whether a bank lasts the planned nights in each season, with the worst-case figures."""
        nights = float(self.system.use.nights or 0) if self.system.use else 0.0
        worst: tuple[float, Figures] = (inf, ())
        for season in self.seasons:
            drawn = need.total(need.uses(bank, season)).high
            usable = endurance.usable(self.system, bank, season, drawn / 24).low
            days = usable / drawn if drawn else inf
            if days < worst[0]:
                worst = (days, (("nights", nights), ("need_ah", drawn), ("usable_ah", usable)))
        return worst[0] * ROUNDING >= nights, worst[1]

    def _chargers(self) -> None:
        chargers = self.system.of_kind(Charger)
        for feed in self.bank.feeds:
            if feed.owner in chargers and chargers[feed.owner].is_open():
                self.system = _with(self.system, {feed.owner: self._output(feed, chargers[feed.owner])})

    def _output(self, feed: BankCharger, charger: Charger) -> ProposedNumber:
        solar = charger.source == "solar"
        needed, figures = self._by_panels(feed, charger) if solar else self._by_need(charger)
        limits: list[tuple[float, Decided]] = [(self._may_take(), "battery")]
        if charger.source == "alternator":
            limits.append((self._may_spare(feed.owner, charger), "alternator"))
        most, who = min(limits)
        figures = (*figures, ("needed_a", needed), ("most_a", most))
        outputs = charger.usual_sizes()
        enough = next((amps for amps in outputs if amps * ROUNDING >= needed), None)
        if enough is not None and enough <= most * ROUNDING:
            return ProposedNumber(enough, "panels" if solar else "need", figures)
        within = [amps for amps in outputs if amps <= most * ROUNDING]
        if not within or (enough is None and within[-1] == outputs[-1]):
            return ProposedNumber((within or outputs[:1])[-1], "none fits", figures)
        return ProposedNumber(within[-1], who, figures)

    def _by_panels(self, feed: BankCharger, charger: Charger) -> tuple[float, Figures]:
        panels = self.system.of_kind(SolarArray)
        watts = fsum(panels[name].total_w for name in feed.arrays)
        volts = charger.output_v or self.system.van.nominal_v
        return watts / volts, (("power_w", watts), ("nominal_v", volts))

    def _by_need(self, charger: Charger) -> tuple[float, Figures]:
        """Return the output that restores a day's need within the hours of a day while loads run. [A]"""
        use = self.system.use
        assert use is not None
        hours = (use.hook_up_h if charger.source == "mains" else use.driven_h) or 0.0
        drawn = max(need.total(need.uses(self.bank, season)).high for season in self.seasons)
        efficiency = self.bank.spread(lambda chemistry: chemistry.charge_efficiency).low
        amps = drawn / (hours * efficiency) + drawn / 24
        return amps, (("hours", hours), ("need_ah", drawn), ("efficiency", efficiency))

    def _may_take(self) -> float:
        """Return the charging current limit: the manufacturer's, or the recommended one. [A]"""
        if isfinite(self.bank.charge_limit_a):
            return self.bank.charge_limit_a
        usual = self.bank.spread(lambda chemistry: chemistry.charge_current_c)
        return fsum(
            piece.charge_limit_a
            if piece.charge_limit_a is not None
            else (piece.traits.charge_current_c or usual).high * piece.capacity_ah
            for piece in _batteries(self.system, self.bank).values()
        )

    def _may_spare(self, charger_id: str, charger: Charger) -> float:
        """Return the alternator current available beside other chargers, as output of this charger. [A]"""
        reached = self.network.flood([f"{charger_id}.in"], lambda edge: not splits_charge(edge))
        spare = inf
        for ident, piece in self.system.of_kind(VehicleSource).items():
            if f"{ident}.+" in reached:
                share = constant("alternator share to spare").value * piece.lasting_a
                spare = min(spare, share if piece.spare_a is None else piece.spare_a)
        for other, beside in self.system.of_kind(Charger).items():
            if other != charger_id and f"{other}.in" in reached:
                spare -= beside.output_a / self._output_per_input(beside)
        return max(spare, 0.0) * self._output_per_input(charger)

    def _output_per_input(self, charger: Charger) -> float:
        volts = self.system.van.nominal_v
        return efficiency_of(charger) * (charger.input_v or volts) / (charger.output_v or volts)


def _batteries(system: CompletedSystem, bank: Bank) -> dict[str, Battery]:
    batteries = system.batteries
    return {name: batteries[name] for name in bank.batteries}


def _largest_charge_a(battery: Battery, bank: Bank) -> float:
    """Return the largest charging current of a bank; without limit here if it is not known, which is told."""
    largest = battery.traits.largest_charge_current_c
    return inf if largest is None else largest.high * bank.capacity_ah


def _seasons(system: CompletedSystem) -> tuple[Season, ...]:
    """Return the seasons of use; both if the file does not state them."""
    use = system.use
    if use is None or not use.months:
        return SEASONS
    used: Iterable[Season] = (season_of(use.latitude_deg or 0.0, month) for month in use.months)
    return tuple(dict.fromkeys(used))
