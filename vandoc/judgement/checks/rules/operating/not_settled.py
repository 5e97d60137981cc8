"""The calculation of currents and sizes ends with a result."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, Phrase, fail, rule
from vandoc.judgement.checks.shared.operating import said


@rule(fail("currents-not-found"), fail("sizes-not-found"))
def settled(van: Van) -> Iterator[Breach]:
    """The calculation of currents and sizes ends with a result."""
    changing: dict[str, Phrase] = {}
    for sizing_state, solution in van.sizing.states.items():
        for ident in solution.unsettled:
            changing.setdefault(ident, Phrase(f"sizing-{sizing_state.value}"))
    for ident, phrase in changing.items():
        name = van.name(ident)
        yield Breach("currents-not-found", ident, van.trail(ident), {"name": name, "state": phrase})
    for state, failed in van.no_operating_point.items():
        if not failed.settles:
            whole = van.system.van.name
            yield Breach("currents-not-found", "van", ("van",), {"name": whole, "state": said(state)})
    if not van.sizing.settled and not changing:
        yield Breach("sizes-not-found", "van", ("van",))
