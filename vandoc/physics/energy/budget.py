"""Assembly of the energy budget of a van."""

from dataclasses import replace

from vandoc.model.equipment import VehicleSource
from vandoc.model.system import CompletedSystem
from vandoc.physics.energy import charging, endurance, need, sunshine
from vandoc.physics.energy.bank import Bank, BankCharger, banks
from vandoc.physics.energy.figure import Figure, Term
from vandoc.physics.energy.results import (
    SEASONS,
    BankBudget,
    Charging,
    Energy,
    MonthBudget,
    Season,
    SeasonBudget,
)
from vandoc.physics.network.currents import SizingState
from vandoc.physics.network.graph import Network
from vandoc.physics.sizing.results import Sizing

FARTHEST_DEG = 66.0
"""Latitude from which on there are no solar data. [°]"""


def budget(system: CompletedSystem, network: Network, sizing: Sizing) -> Energy:
    """Calculate the energy budget of a van: need, autonomy, charging and battery life.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
        Of that system.
    sizing : Sizing
        Solution of that network; shows the current through a split-charge relay.

    Returns
    -------
    Energy
        Without a latitude there is no solar yield; without stated hours no daily charge by engine or hook-up;
        no budget of a bank of which not all figures are known.
    """
    found = tuple(_Budget(system, sizing, bank).made() for bank in banks(system, network) if bank.known)
    return Energy(found, tuple(_missing(system, found)))


def _missing(system: CompletedSystem, found: tuple[BankBudget, ...]) -> list[str]:
    use = system.use
    feeds = {feed.source for budget in found for feed in budget.bank.feeds}
    gaps = []
    if "solar" in feeds and (use is None or use.latitude_deg is None):
        gaps.append("use.latitude")
    if feeds & {"alternator", "relay"} and (use is None or use.driven_h is None):
        gaps.append("use.driven")
    if "mains" in feeds and (use is None or use.hook_up_h is None):
        gaps.append("use.hook_up")
    return gaps


class _Budget:
    """The budget of one bank under construction."""

    def __init__(self, system: CompletedSystem, sizing: Sizing, bank: Bank) -> None:
        self.system, self.sizing, self.bank = system, sizing, bank
        use = system.use
        latitude = use.latitude_deg if use else None
        self.latitude = latitude if latitude is not None and abs(latitude) < FARTHEST_DEG else None
        self.north = latitude or 0.0
        self.used = tuple(sorted(set(use.months))) if use and use.months else tuple(range(1, 13))
        self.sunny = [feed for feed in bank.feeds if feed.source == "solar" and feed.arrays]
        self.uses = {season: need.uses(bank, season) for season in SEASONS}
        self.needs = {season: need.total(self.uses[season]) for season in SEASONS}
        self.sun_days: dict[tuple[str, int], sunshine.SunDay] = {}

    def made(self) -> BankBudget:
        months = self._months()
        counts: dict[Season, int] = {season: len(self._months_of(season)) for season in SEASONS}
        drawn = endurance.drawn_in_a_year(self.needs, counts)
        if not (self.system.use and self.system.use.months):
            drawn = replace(drawn, assumptions=("months-not-stated", *drawn.assumptions))
        return BankBudget(
            self.bank,
            {season: self._season(season, months) for season in SEASONS},
            months,
            tuple(self._charging(feed) for feed in self.bank.feeds if self._can_tell(feed)),
            endurance.hours_all_on(self.system, self.bank, self._worst()),
            drawn,
            endurance.years(self.bank, drawn),
            need.unstated(self.bank),
        )

    def _months_of(self, season: Season) -> tuple[int, ...]:
        return tuple(month for month in self.used if sunshine.season_of(self.north, month) == season)

    def _worst(self) -> Season:
        return "winter" if self._months_of("winter") else "summer"

    def _months(self) -> tuple[MonthBudget, ...]:
        if self.latitude is None or not self.sunny:
            return ()
        found = []
        for month in range(1, 13):
            days = tuple((feed.owner, self._sun_day(feed, month).charge) for feed in self.sunny)
            season = sunshine.season_of(self.latitude, month)
            used = month in self.used
            found.append(MonthBudget(month, season, used, sunshine.total(days), self.needs[season], days))
        return tuple(found)

    def _sun_day(self, feed: BankCharger, month: int) -> sunshine.SunDay:
        assert self.latitude is not None
        if (feed.owner, month) not in self.sun_days:
            found = sunshine.sun_day(self.system, self.bank, feed, self.latitude, month)
            self.sun_days[feed.owner, month] = found
        return self.sun_days[feed.owner, month]

    def _season(self, season: Season, months: tuple[MonthBudget, ...]) -> SeasonBudget:
        mine = [month for month in months if month.season == season]
        counted = [month for month in mine if month.used] or mine
        sun = sunshine.mean((month.month, month.sun) for month in counted) if counted else None
        drawn = self.needs[season]
        usable = endurance.usable(self.system, self.bank, season, drawn.high / 24)
        return SeasonBudget(
            season,
            self._months_of(season),
            self.uses[season],
            drawn,
            usable,
            endurance.days(usable, drawn, None),
            endurance.days(usable, drawn, sun) if sun else None,
            sun,
        )

    def _can_tell(self, feed: BankCharger) -> bool:
        return feed.source != "solar" or (self.latitude is not None and bool(feed.arrays))

    def _charging(self, feed: BankCharger) -> Charging:
        heaviest = max(self.needs.values(), key=lambda drawn: drawn.high)
        if feed.source == "solar":
            return self._by_sun(feed)
        use = self.system.use
        hours = None if use is None else use.hook_up_h if feed.source == "mains" else use.driven_h
        return charging.steady(self.bank, feed, self._amps(feed), heaviest, hours)

    def _by_sun(self, feed: BankCharger) -> Charging:
        assert self.latitude is not None
        latitude = self.latitude
        days = {month: self._sun_day(feed, month) for month in self.used}
        clear = [sunshine.clear_day(self.system, self.bank, feed, latitude, month) for month in self.used]
        best = max(clear, key=lambda day: day.charge.high)
        worst = min(days, key=lambda month: days[month].charge.low)
        drawn: Figure = self.needs[sunshine.season_of(latitude, worst)]
        return charging.by_sun(self.bank, feed, best, days[worst], drawn)

    def _amps(self, feed: BankCharger) -> Term:
        """Return the maximum current from a charger or a split-charge relay into the bank. [A]"""
        limit = self.bank.charge_limit_a
        if feed.source != "relay":
            amps = min(feed.amps_a, limit)
            return Term("I", amps, amps, "A")
        spare = min(
            (piece.spare_a for piece in self.system.of_kind(VehicleSource).values() if piece.spare_a),
            default=limit,
        )
        solved = abs(self.sizing.states[SizingState.CHARGE].amps.get(f"{feed.owner} relay", 0.0))
        usual = self.bank.spread(lambda chemistry: chemistry.charge_current_c)
        high = min(solved, limit, spare)
        low = min(high, usual.low * self.bank.capacity_ah)
        return Term("I", low, high, "A", usual.source, usual.from_memory)
