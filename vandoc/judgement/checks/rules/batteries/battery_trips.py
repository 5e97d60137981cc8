"""The electronics of a battery do not disconnect it in use."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Phrase, Word, fail, rule
from vandoc.judgement.checks.shared.operating import said
from vandoc.model import equipment as eq
from vandoc.physics.network.operating import SolvedState


@rule(fail("battery-trips-in-use"), fail("battery-trips-at-start"))
def battery_trips(van: Van) -> Iterator[Breach]:
    """The electronics of a battery do not disconnect it in use."""
    for ident, battery in van.leisure.items():
        if battery.over_current_a is not None:
            yield from list(_in_use(van, ident, battery))[:1]


def _in_use(van: Van, ident: str, battery: eq.Battery) -> Iterator[Breach]:
    """Yield the state, then the start, in which the battery supplies so much that it disconnects."""
    states = [(solved.device_amps.get(ident, 0.0), said(solved.state)) for solved in van.solved.values()]
    starting = [
        (found.device_amps.get(ident, 0.0), van.name(start.owner))
        for start, found in van.starts
        if isinstance(found, SolvedState)
    ]
    limit = battery.over_current_a or 0.0
    for slug, key, cases in (
        ("battery-trips-in-use", "state", states),
        ("battery-trips-at-start", "name", starting),
    ):
        amps, when = max(cases, key=lambda case: case[0], default=(0.0, ""))
        if not exceeds(limit, amps):
            words: dict[str, Word] = {"battery": battery.name, key: when}
            value, most = Amount(amps, "A"), Amount(limit, "A")
            yield Breach(slug, ident, van.trail(ident), words, value, most, (Phrase("stated"),))
