"""A battery capacity that the file leaves open is proposed, and the criterion that set it is reported."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, note, review, rule

DECIDED = {
    "nights": "battery-proposed-for-nights",
    "charging": "battery-proposed-for-charging",
    "alike": "battery-proposed-alike",
    "none fits": "no-battery-fits",
}


@rule(
    note("battery-proposed-for-nights"),
    note("battery-proposed-for-charging"),
    note("battery-proposed-alike"),
    review("no-battery-fits"),
)
def proposed(van: Van) -> Iterator[Breach]:
    """A battery capacity that the file leaves open is proposed, and the criterion that set it is reported."""
    for ident, battery in van.leisure.items():
        found = battery.proposed
        if found is None:
            continue
        figures = dict(found.figures)
        words: dict[str, Word] = {
            "battery": van.name(ident),
            "nights": Amount(figures.get("nights", 0.0)),
            "need": Amount(figures.get("need_ah", 0.0), "Ah"),
            "usable": Amount(figures.get("usable_ah", 0.0), "Ah"),
            "asked": Amount(figures.get("nights", 0.0) * figures.get("need_ah", 0.0), "Ah"),
            "charging": Amount(figures.get("charging_a", 0.0), "A"),
        }
        yield Breach(DECIDED[found.decided], ident, van.trail(ident), words, Amount(found.value, "Ah"))
