"""Functions shared by the rules on current-carrying capacity."""

from collections.abc import Mapping

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Word
from vandoc.physics.sizing import SizedConductor


def capacity_steps(sized: SizedConductor) -> tuple[Mapping[str, Word], ...]:
    """Return the fields of the capacity calculation, one line for each basis, the deciding one first."""
    return tuple(
        {
            "basis_source": capacity,
            "base": Amount(capacity.working.base_a, "A"),
            "row": Amount(capacity.working.area_mm2, "mm²"),
            "column": Amount(capacity.working.insulation_c, "°C"),
            "ambient": Amount(capacity.working.ambient_factor),
            "grouping": Amount(capacity.working.grouping_factor),
            "installation": Amount(capacity.working.installation_factor),
            "amps": Amount(capacity.amps_a, "A"),
        }
        for capacity in sized.capacities
    )


def is_too_hot(sized: SizedConductor) -> bool:
    """Whether the ambient temperature alone reaches the temperature rating of the insulation."""
    return sized.conductor.insulation_c <= sized.ambient_c


def ours(van: Van) -> list[SizedConductor]:
    return [sized for sized in van.sizing.conductors.values() if not sized.conductor.vehicle]
