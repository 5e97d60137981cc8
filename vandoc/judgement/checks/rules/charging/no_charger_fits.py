"""A standard charger delivers what is needed without exceeding a limit."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.model import equipment as eq


@rule(review("no-charger-fits"))
def no_charger_fits(van: Van) -> Iterator[Breach]:
    """A standard charger delivers what is needed without exceeding a limit."""
    for ident, charger in van.of_kind(eq.Charger):
        found = charger.proposed
        if found is None or found.decided != "none fits":
            continue
        figures = dict(found.figures)
        words: dict[str, Word] = {
            "charger": van.name(ident),
            "needed": Amount(figures.get("needed_a", 0.0), "A"),
            "most": Amount(figures.get("most_a", 0.0), "A"),
        }
        yield Breach("no-charger-fits", ident, van.trail(ident), words, Amount(found.value, "A"))
