"""The number of cells in series of each battery is known."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.model import equipment as eq


@rule(review("cells-not-known"))
def cells(van: Van) -> Iterator[Breach]:
    """The number of cells in series of each battery is known."""
    for ident, battery in van.of_kind(eq.Battery):
        traits, nominal = battery.traits, battery.nominal_v or van.system.van.nominal_v
        count = traits.cells_for(nominal, battery.cells)
        if count is None or count[0] == count[1]:
            continue
        figure = traits.absorption_v
        words: dict[str, Word] = {
            "battery": van.name(ident),
            "chemistry": traits.names.electrician,
            "nominal": Amount(nominal, "V"),
            "fewest": count[0],
            "most": count[1],
            "low": Amount(figure.of(count[0]).high if figure else 0.0, "V", 2),
            "high": Amount(figure.of(count[1]).high if figure else 0.0, "V", 2),
        }
        yield Breach("cells-not-known", ident, van.trail(ident), words)
