"""The cable current in each operating state is within its capacity, even above the design current."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.capacity import capacity_steps, is_too_hot
from vandoc.judgement.checks.shared.operating import said


@rule(fail("state-current-above-capacity", sizes.stronger))
def shared(van: Van) -> Iterator[Breach]:
    """The cable current in each operating state is within its capacity, even above the design current."""
    for sized in van.sizing.conductors.values():
        conductor = sized.conductor
        if conductor.vehicle or conductor.signal or not sized.capacities or is_too_hot(sized):
            continue
        if exceeds(sized.design_a, sized.capacity_a):
            continue  # said of its capacity
        solved = van.heaviest_state(conductor.id)
        if solved is None or not exceeds(abs(solved.amps[conductor.id]), sized.capacity_a):
            continue
        yield Breach(
            "state-current-above-capacity",
            van.subject(conductor),
            conductor.trail,
            {
                "cable": conductor.id,
                "size": sized.size,
                "state": said(solved.state),
                "temperature": Amount(solved.temperature_c(conductor.id), "°C"),
            },
            Amount(abs(solved.amps[conductor.id]), "A"),
            Amount(sized.capacity_a, "A"),
            cited=sized.capacities[:1],
            steps=capacity_steps(sized),
        )
