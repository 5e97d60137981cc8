"""The worst-case autonomy covers the nights stated in the file, in each season of use."""

from collections.abc import Iterator
from math import isfinite

from vandoc.analysis import Van, exceeds
from vandoc.ground.figures import plain, time_left
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Phrase, review, rule
from vandoc.judgement.checks.shared.energy import battery, cited_of, seasons


@rule(review("nights-not-lasted"))
def nights(van: Van) -> Iterator[Breach]:
    """The worst-case autonomy covers the nights stated in the file, in each season of use."""
    promised = van.system.use.nights if van.system.use else None
    if not promised:
        return
    for budget in van.energy.banks:
        season = min(seasons(budget), key=lambda one: one.days_dark.low)
        days = season.days_dark.low
        if isfinite(days) and exceeds(promised, days):
            term = {term.symbol: term.low for term in season.usable.terms}
            rate = season.usable.low / (term["C"] * term["d"] * term["a"] * term["c"])
            yield Breach(
                "nights-not-lasted",
                budget.bank.batteries[0],
                ("use", "nights"),
                {
                    **battery(van, budget),
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
                cited=cited_of(season.days_dark),
            )
