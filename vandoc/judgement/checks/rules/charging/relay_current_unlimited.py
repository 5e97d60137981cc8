"""The charging current through a split-charge relay does not exceed the limit of the batteries."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.charging import banks, leisure_at, split_charges
from vandoc.physics.network.currents import SizingState


@rule(review("relay-current-unlimited"))
def relay_current(van: Van) -> Iterator[Breach]:
    """The charging current through a split-charge relay does not exceed the limit of the batteries."""
    for ident, joint, far in split_charges(van):
        bank = next(bank for bank in banks(van) if set(bank.idents) & set(leisure_at(van, far)))
        amps = abs(van.sizing.states[SizingState.CHARGE].amps[joint.id])
        if exceeds(amps, bank.limit_a):
            words = {"relay": van.name(ident), "battery": van.names(bank.idents)}
            found, limit = Amount(amps, "A"), Amount(bank.limit_a, "A")
            yield Breach(
                "relay-current-unlimited", ident, van.trail(ident), words, found, limit, bank.cited[0]
            )
