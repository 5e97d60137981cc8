"""A charger output that the file leaves open is proposed, and the criterion that set it is reported."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, note, review, rule
from vandoc.model import equipment as eq

DECIDED = {
    "need": "charger-proposed-for-need",
    "panels": "charger-proposed-for-panels",
    "battery": "charger-held-by-battery",
    "alternator": "charger-held-by-alternator",
    "none fits": "no-charger-fits",
}


@rule(
    note("charger-proposed-for-need"),
    note("charger-proposed-for-panels"),
    note("charger-held-by-battery"),
    note("charger-held-by-alternator"),
    review("no-charger-fits"),
)
def proposed(van: Van) -> Iterator[Breach]:
    """A charger output that the file leaves open is proposed, and the criterion that set it is reported."""
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
