"""Whether charge and need fit together: how long the battery lasts, what fills it, what wears it out.

None of it can hurt anybody, and hours and weather are estimates: nothing here fails a van.
"""

from collections.abc import Iterator
from math import isfinite, isinf

from vandoc.analysis import Van, exceeds
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, Cited, Phrase, Word, rule
from vandoc.energy import FARTHEST_DEG, BankBudget, Figure, SeasonBudget, Term
from vandoc.figures import month, plain, quantity, time_left

YEARS_DIGITS = 2


@rule("energy-not-stated")
def stated(van: Van) -> Iterator[Breach]:
    """The file says all that the energy budget asks for; one finding names whatever it leaves out."""
    keys = list(van.energy.missing)
    for budget in van.energy.banks:
        keys += [".".join((*map(str, van.trail(ident)), "hours")) for ident in budget.unstated]
    if keys:
        trail = ("use",) if van.system.use else ("van",)
        words: dict[str, Word] = {"keys": ", ".join(dict.fromkeys(keys))}
        yield Breach("energy-not-stated", "use", trail, words, unknown=True)


@rule("nights-not-lasted")
def nights(van: Van) -> Iterator[Breach]:
    """The battery lasts the nights that the file promises, at the low end, in each season of use."""
    promised = van.system.use.nights if van.system.use else None
    if not promised:
        return
    for budget in van.energy.banks:
        season = min(_seasons(budget), key=lambda one: one.days_dark.low)
        days = season.days_dark.low
        if isfinite(days) and exceeds(promised, days):
            term = {term.symbol: term.low for term in season.usable.terms}
            rate = season.usable.low / (term["C"] * term["d"] * term["a"] * term["c"])
            yield Breach(
                "nights-not-lasted",
                budget.bank.batteries[0],
                ("use", "nights"),
                {
                    **_battery(van, budget),
                    "season": Phrase(season.season),
                    "nights": Amount(promised, "night"),
                    "lasts": plain(time_left(24 * days, 24 * promised)),
                    "hours": Amount(24 * days, "h"),
                    "limit_hours": Amount(24 * promised, "h"),
                    "capacity": Amount(term["C"], "Ah"),
                    "depth": Amount(term["d"]),
                    "age": Amount(term["a"]),
                    "cold": Amount(term["c"]),
                    "rate": Amount(rate),
                    "usable": Amount(season.usable.low, "Ah"),
                    "need": Amount(season.need.high, "Ah"),
                },
                Amount(days, "d"),
                Amount(promised, "d"),
                cited=_cited(season.days_dark),
            )


@rule("sun-never-covers")
def sun(van: Van) -> Iterator[Breach]:
    """Even in a sunny region there is no month of use in which the sun alone covers the need."""
    for budget in van.energy.banks:
        used = [one for one in budget.months if one.used]
        if used and all(one.covered == "never" for one in used):
            best = max(used, key=lambda one: one.sun.high / one.need.low)
            yield Breach(
                "sun-never-covers",
                budget.bank.batteries[0],
                van.trail(budget.bank.batteries[0]),
                {**_battery(van, budget), "month": month(best.month)},
                Amount(best.sun.high, "Ah"),
                Amount(best.need.low, "Ah"),
                cited=_cited(best.sun),
            )


@rule("battery-not-charged")
def charged(van: Van) -> Iterator[Breach]:
    """Something charges each leisure battery."""
    for budget in van.energy.banks:
        if not budget.bank.feeds:
            subject = budget.bank.batteries[0]
            yield Breach("battery-not-charged", subject, van.trail(subject), _battery(van, budget))


@rule("sun-not-known")
def sun_known(van: Van) -> Iterator[Breach]:
    """The sun model reaches the latitude that the file states."""
    latitude = van.system.use.latitude_deg if van.system.use else None
    panels = any(feed.source == "solar" for budget in van.energy.banks for feed in budget.bank.feeds)
    if panels and latitude is not None and abs(latitude) >= FARTHEST_DEG:
        amounts = Amount(latitude, "°"), Amount(FARTHEST_DEG, "°")
        yield Breach("sun-not-known", "use", ("use", "latitude"), {}, *amounts)


@rule("charge-below-need")
def balance(van: Van) -> Iterator[Breach]:
    """In a usual day of each season, what is put back at best is no less than what is drawn at least."""
    if van.energy.missing:
        return
    for budget in van.energy.banks:
        if not budget.charging or len(budget.charging) < len(budget.bank.feeds):
            continue
        steady = [way.per_day for way in budget.charging if way.per_day]
        for season in _seasons(budget):
            suns = [season.sun] if season.sun else []
            found = sum(figure.high for figure in (*steady, *suns))
            if exceeds(season.need.low, found):
                yield Breach(
                    "charge-below-need",
                    budget.bank.batteries[0],
                    van.trail(budget.bank.batteries[0]),
                    {
                        **_battery(van, budget),
                        "season": Phrase(season.season),
                        "steady": Amount(sum(figure.high for figure in steady), "Ah"),
                        "sun": Amount(sum(figure.high for figure in suns), "Ah"),
                    },
                    Amount(found, "Ah"),
                    Amount(season.need.low, "Ah"),
                    cited=_cited(*steady, *suns),
                )


@rule("never-full")
def full(van: Van) -> Iterator[Breach]:
    """Some way of charging fills the battery even at the slow end."""
    for budget in van.energy.banks:
        if not budget.charging or len(budget.charging) < len(budget.bank.feeds):
            continue
        if all(isinf(way.to_full.high) for way in budget.charging):
            owners = [way.feed.owner for way in budget.charging]
            words: dict[str, Word] = {**_battery(van, budget), "chargers": van.names(owners)}
            cited = _cited(*(way.to_full for way in budget.charging))
            subject = budget.bank.batteries[0]
            yield Breach("never-full", subject, van.trail(subject), words, cited=cited)


@rule("worn-out-by-use")
def wear(van: Van) -> Iterator[Breach]:
    """Age, not use, ends the battery."""
    for budget in van.energy.banks:
        terms = {term.symbol: term for term in budget.years.terms}
        life, cycles, depth, capacity, drawn = (terms[name].low for name in ("L", "N", "d", "C", "Q"))
        by_use = cycles * depth * capacity / drawn if drawn else life
        if exceeds(life, by_use):
            subject = budget.bank.batteries[0]
            yield Breach(
                "worn-out-by-use",
                subject,
                van.trail(subject),
                {
                    **_battery(van, budget),
                    "years": plain(quantity(by_use, "a", YEARS_DIGITS, "down")),
                    "cycles": Amount(cycles),
                    "depth": Amount(depth),
                    "capacity": Amount(capacity, "Ah"),
                    "drawn": Amount(drawn, "Ah"),
                },
                Amount(by_use, "a"),
                Amount(life, "a"),
                cited=_cited(budget.years),
            )


def _battery(van: Van, budget: BankBudget) -> dict[str, Word]:
    return {"battery": van.names(budget.bank.batteries)}


def _seasons(budget: BankBudget) -> list[SeasonBudget]:
    """The seasons in which the van is used."""
    return [season for season in budget.seasons.values() if season.months]


def _cited(*figures: Figure) -> tuple[Cited, ...]:
    """The sources of what went into figures, each once."""
    terms: dict[str, Term] = {}
    for figure in figures:
        for term in figure.terms:
            if term.source:
                terms.setdefault(term.source, term)
    return tuple(terms.values())
