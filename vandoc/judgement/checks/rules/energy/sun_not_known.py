"""The solar model covers the latitude stated in the file."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.physics.energy import FARTHEST_DEG


@rule(review("sun-not-known"))
def sun_known(van: Van) -> Iterator[Breach]:
    """The solar model covers the latitude stated in the file."""
    latitude = van.system.use.latitude_deg if van.system.use else None
    panels = any(feed.source == "solar" for budget in van.energy.banks for feed in budget.bank.feeds)
    if panels and latitude is not None and abs(latitude) >= FARTHEST_DEG:
        amounts = Amount(latitude, "°"), Amount(FARTHEST_DEG, "°")
        yield Breach("sun-not-known", "use", ("use", "latitude"), {}, *amounts)
