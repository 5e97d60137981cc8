"""No split-charge relay connects a leisure battery to a smart (ECU-controlled) alternator."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.charging import alternators_at, split_charges


@rule(fail("split-charge-on-smart-alternator"))
def relay_on_smart(van: Van) -> Iterator[Breach]:
    """No split-charge relay connects a leisure battery to a smart (ECU-controlled) alternator."""
    for ident, joint, far in split_charges(van):
        near = joint.start if far == joint.end else joint.end
        for alternator, piece in alternators_at(van, near):
            if piece.is_smart():
                words = {"relay": van.name(ident), "alternator": van.name(alternator)}
                yield Breach("split-charge-on-smart-alternator", ident, van.trail(ident), words)
