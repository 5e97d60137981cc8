"""No equipment that can spark is in a gas locker."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("spark-in-gas-locker"))
def sparks(van: Van) -> Iterator[Breach]:
    """No equipment that can spark is in a gas locker."""
    for ident, thing in van.system.things.items():
        place = van.system.places[thing.place]
        if place.gas_locker and thing.sparks and not thing.ignition_protected:
            words = {"name": thing.name, "place": place.label}
            yield Breach("spark-in-gas-locker", ident, van.trail(ident), words)
