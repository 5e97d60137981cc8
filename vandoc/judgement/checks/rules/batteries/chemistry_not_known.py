"""Everything that matters is known of the chemistry of each battery."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.messages import Messages
from vandoc.ground.speech import speech
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.model import equipment as eq

say = Messages("vandoc.judgement.checks", "chemistries").say


@rule(review("chemistry-not-known"))
def traits_known(van: Van) -> Iterator[Breach]:
    """Everything that matters is known of the chemistry of each battery."""
    for ident, battery in van.of_kind(eq.Battery):
        known = {"absorption_v"} if battery.absorption_range(van.system.van.nominal_v) else set()
        missing = dict.fromkeys(say(f"trait.{name}") for name in battery.traits.unknown if name not in known)
        if missing:
            package = battery.traits.package
            words: dict[str, Word] = {
                "battery": van.name(ident),
                "chemistry": battery.traits.names.electrician,
                "added": say("added", package=package) if package else "",
                "traits": speech().listed(missing),
            }
            yield Breach("chemistry-not-known", ident, (*van.trail(ident), "chemistry"), words)
