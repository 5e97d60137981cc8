"""A standard battery is large enough for the nights that the van is to last."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule


@rule(review("no-battery-fits"))
def no_battery_fits(van: Van) -> Iterator[Breach]:
    """A standard battery is large enough for the nights that the van is to last."""
    for ident, battery in van.leisure.items():
        found = battery.proposed
        if found is None or found.decided != "none fits":
            continue
        figures = dict(found.figures)
        words: dict[str, Word] = {
            "battery": van.name(ident),
            "nights": Amount(figures.get("nights", 0.0)),
            "need": Amount(figures.get("need_ah", 0.0), "Ah"),
            "usable": Amount(figures.get("usable_ah", 0.0), "Ah"),
            "asked": Amount(figures.get("nights", 0.0) * figures.get("need_ah", 0.0), "Ah"),
        }
        yield Breach("no-battery-fits", ident, van.trail(ident), words, Amount(found.value, "Ah"))
