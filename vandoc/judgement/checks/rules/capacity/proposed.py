"""A cable size that the file leaves open is proposed, with the criterion that set it; once a circuit."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, note, rule
from vandoc.judgement.checks.shared.capacity import capacity_steps, is_too_hot, ours

DECIDED = {
    "fuse and current": "cable-proposed-for-current",
    "voltage drop": "cable-proposed-for-drop",
    "as its supply": "cable-proposed-as-supply",
    "smallest allowed": "cable-proposed-smallest",
}


@rule(
    note("cable-proposed-for-current"),
    note("cable-proposed-for-drop"),
    note("cable-proposed-as-supply"),
    note("cable-proposed-smallest"),
)
def proposed(van: Van) -> Iterator[Breach]:
    """A cable size that the file leaves open is proposed, with the criterion that set it; once a circuit."""
    said: dict[str, float] = {}  # by circuit, the size proposed for its supply
    for sized in ours(van):
        conductor = sized.conductor
        if not sized.proposed or sized.decided not in DECIDED or is_too_hot(sized):
            continue
        if conductor.circuit and conductor.role == "return" and said.get(conductor.circuit) == sized.area_mm2:
            continue
        if conductor.circuit and conductor.role == "supply":
            said[conductor.circuit] = sized.area_mm2
        yield Breach(
            DECIDED[sized.decided],
            van.subject(conductor),
            conductor.trail,
            {
                "cable": conductor.id if conductor.role == "return" else van.subject(conductor),
                "size": sized.size,
                "design": Amount(sized.design_a, "A"),
            },
            Amount(sized.area_mm2, "mm²"),
            cited=sized.capacities[:1],
            steps=capacity_steps(sized),
        )
