"""Whether each cable carries its current where it lies, and what was chosen where the file leaves it open."""

from collections.abc import Iterator, Mapping

from vandoc.analysis import Van, exceeds
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, Word, rule
from vandoc.data import constant
from vandoc.sizing import SizedConductor


def capacity_steps(sized: SizedConductor) -> tuple[Mapping[str, Word], ...]:
    """Return the words for the sum of its capacity, one line for each basis, the deciding one first."""
    return tuple(
        {
            "basis_source": capacity,
            "base": Amount(capacity.working.base_a, "A"),
            "row": Amount(capacity.working.area_mm2, "mm²"),
            "column": Amount(capacity.working.insulation_c, "°C"),
            "ambient": Amount(capacity.working.ambient_factor),
            "grouping": Amount(capacity.working.grouping_factor),
            "amps": Amount(capacity.amps_a, "A"),
        }
        for capacity in sized.capacities
    )


def is_too_hot(sized: SizedConductor) -> bool:
    """Whether the insulation is at or beyond its limit before any current flows."""
    return sized.conductor.insulation_c <= sized.ambient_c


def _ours(van: Van) -> list[SizedConductor]:
    return [sized for sized in van.sizing.conductors.values() if not sized.conductor.vehicle]


@rule("insulation-below-place")
def insulation(van: Van) -> Iterator[Breach]:
    """A cable passes a place that is as hot as its insulation stands, or hotter."""
    for sized in _ours(van):
        conductor = sized.conductor
        if conductor.role == "return" or not is_too_hot(sized):
            continue
        hottest = max(conductor.places, key=lambda place: van.system.places[place].hottest_c)
        yield Breach(
            "insulation-below-place",
            van.subject(conductor),
            conductor.trail,
            {"cable": conductor.id, "place": van.system.places[hottest].label},
            Amount(conductor.insulation_c, "°C"),
            Amount(sized.ambient_c, "°C"),
        )


@rule("cable-above-capacity", "no-size-fits")
def capacity(van: Van) -> Iterator[Breach]:
    """A cable carries no more than the tables, its surroundings and its neighbours let it."""
    for sized in _ours(van):
        conductor = sized.conductor
        if conductor.signal or is_too_hot(sized):
            continue
        words: dict[str, Word] = {
            "cable": conductor.id,
            "size": sized.size,
            "insulation": Amount(conductor.insulation_c, "°C"),
            "bunched": conductor.bunched,
            "ambient_c": Amount(sized.ambient_c, "°C"),
        }
        subject, design = van.subject(conductor), Amount(sized.design_a, "A")
        if not sized.capacities:
            yield Breach("cable-above-capacity", subject, conductor.trail, words, value=design, unknown=True)
        elif sized.decided == "none fits" or exceeds(sized.design_a, sized.capacity_a):
            yield Breach(
                "no-size-fits" if sized.decided == "none fits" else "cable-above-capacity",
                subject,
                conductor.trail,
                words,
                design,
                Amount(sized.capacity_a, "A"),
                cited=(sized.capacities[0],),
                steps=capacity_steps(sized),
            )


@rule("cable-below-smallest")
def smallest(van: Van) -> Iterator[Breach]:
    """A separate conductor is thinner than the standard lets it be."""
    least, short = constant("smallest separate conductor"), constant("short separate conductor")
    for sized in _ours(van):
        conductor = sized.conductor
        if conductor.length_m > short.value and not conductor.sheathed and sized.area_mm2 < least.value:
            yield Breach(
                "cable-below-smallest",
                van.subject(conductor),
                conductor.trail,
                {"cable": conductor.id, "length": Amount(conductor.length_m, "m")},
                Amount(sized.area_mm2, "mm²"),
                Amount(least.value, "mm²"),
                cited=(least,),
            )


@rule("engine-space-cooler")
def engine_space(van: Van) -> Iterator[Breach]:
    """An engine space is taken as cooler than the standard takes it."""
    taken = constant("engine space temperature")
    for ident, place in van.system.places.items():
        if place.engine_space and place.hottest_c < taken.value:
            yield Breach(
                "engine-space-cooler",
                ident,
                ("places", ident, "hottest"),
                {"place": place.label},
                Amount(place.hottest_c, "°C"),
                Amount(taken.value, "°C"),
                cited=(taken,),
            )


DECIDED = {
    "fuse and current": "cable-proposed-for-current",
    "voltage drop": "cable-proposed-for-drop",
    "as its supply": "cable-proposed-as-supply",
    "smallest allowed": "cable-proposed-smallest",
}


@rule(*DECIDED.values())
def proposed(van: Van) -> Iterator[Breach]:
    """The file leaves a size open; what was chosen is said, with what decided it: once for a circuit."""
    said: dict[str, float] = {}  # by circuit, the size proposed for its supply
    for sized in _ours(van):
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
