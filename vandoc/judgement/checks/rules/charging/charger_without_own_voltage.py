"""A charger on a smart alternator regulates its output voltage and has an ignition feed."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.cures.pieces import set_to
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.charging import alternators_at
from vandoc.model import equipment as eq


def _driving_chargers(van: Van) -> Iterator[tuple[str, eq.Charger]]:
    for ident, piece in van.of_kind(eq.Charger):
        if piece.source == "alternator":
            yield ident, piece


@rule(
    fail("charger-without-own-voltage", set_to("own_voltage", True)),
    fail("charger-without-ignition-feed", set_to("ignition_feed", True)),
)
def smart_alternator(van: Van) -> Iterator[Breach]:
    """A charger on a smart alternator regulates its output voltage and has an ignition feed."""
    for ident, charger in _driving_chargers(van):
        smart = [name for name, piece in alternators_at(van, f"{ident}.in") if piece.is_smart()]
        if not smart:
            continue
        words = {"charger": van.name(ident), "alternator": van.names(smart)}
        if not charger.own_voltage:
            yield Breach("charger-without-own-voltage", ident, (*van.trail(ident), "own_voltage"), words)
        if not charger.ignition_feed:
            unknown = charger.ignition_feed is None
            trail = (*van.trail(ident), "ignition_feed")
            yield Breach("charger-without-ignition-feed", ident, trail, words, unknown=unknown)
