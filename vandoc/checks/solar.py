"""Whether panels and their controller suit each other."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van, exceeds
from vandoc.calc.solar import array_isc_a, array_power_range
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, Word, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.network.graph import Conductor, FuseLink


@dataclass(frozen=True)
class _Plant:
    """A solar charger with the arrays cabled to it."""

    ident: str
    charger: eq.Charger
    arrays: dict[str, eq.SolarArray]

    @property
    def power_w(self) -> float:
        return sum(a.power_w * a.series * a.parallel for a in self.arrays.values())

    @property
    def isc_a(self) -> float:
        return sum(array_isc_a(a.parallel, a.isc_a) for a in self.arrays.values())


def _plants(van: Van) -> Iterator[_Plant]:
    for ident, charger in van.of_kind(eq.Charger):
        if charger.source == "solar":
            sources = van.sources_in(van.net(f"{ident}.pv+"), "solar")
            pieces = {source.owner: van.system.equipment[source.owner] for source in sources}
            arrays = {name: p for name, p in pieces.items() if isinstance(p, eq.SolarArray)}
            if arrays:
                yield _Plant(ident, charger, arrays)


def _words(van: Van, plant: _Plant) -> dict[str, Word]:
    return {"charger": van.name(plant.ident), "array": van.names(plant.arrays)}


@rule("array-voltage-above-controller", "array-current-above-controller")
def limits(van: Van) -> Iterator[Breach]:
    """A controller bears the voltage of its panels in the cold, and their short-circuit current."""
    for plant in _plants(van):
        charger, trail = plant.charger, van.trail(plant.ident)
        for name, array in plant.arrays.items():
            volts = van.coldest_voc_v(array)
            coldest = van.system.places[array.place].coldest_c
            words = _words(van, plant) | {
                "array": van.name(name),
                "coldest": Amount(coldest, "°C"),
                "test": Amount(constant("standard test temperature").value, "°C"),
                "series": array.series,
                "voc": Amount(array.voc_v, "V"),
                "coefficient": Amount(array.voc_coefficient_percent_per_k, "%/K"),
            }
            limit = Amount(charger.max_voc_v, "V") if charger.max_voc_v else None
            if limit is None or exceeds(volts, limit.value):
                yield Breach(
                    "array-voltage-above-controller",
                    plant.ident,
                    trail,
                    words,
                    Amount(volts, "V"),
                    limit,
                    unknown=limit is None,
                )
        limit = Amount(charger.max_isc_a, "A") if charger.max_isc_a else None
        if limit is None or exceeds(plant.isc_a, limit.value):
            yield Breach(
                "array-current-above-controller",
                plant.ident,
                trail,
                _words(van, plant),
                Amount(plant.isc_a, "A"),
                limit,
                unknown=limit is None,
            )


@rule("voltage-coefficient-positive")
def coefficient(van: Van) -> Iterator[Breach]:
    """A panel gains voltage in the cold; a coefficient with the wrong sign hides it."""
    for ident, array in van.of_kind(eq.SolarArray):
        found = array.voc_coefficient_percent_per_k
        if found > 0:
            trail = (*van.trail(ident), "voc_coefficient")
            words = {"array": van.name(ident)}
            yield Breach("voltage-coefficient-positive", ident, trail, words, Amount(found, "%/K"))


@rule("array-above-controller", "array-below-controller", "array-outside-usual", "array-above-output")
def power(van: Van) -> Iterator[Breach]:
    """The array's power lies in the range that the controller is made for."""
    usual = array_power_range()
    for plant in _plants(van):
        charger, found, trail = plant.charger, Amount(plant.power_w, "W"), van.trail(plant.ident)
        words = _words(van, plant)
        low, high = charger.array_low_w, charger.array_high_w
        if high is None:
            yield Breach("array-above-controller", plant.ident, trail, words, found, unknown=True)
        elif exceeds(plant.power_w, high):
            yield Breach("array-above-controller", plant.ident, trail, words, found, Amount(high, "W"))
        if low is not None and exceeds(low, plant.power_w):
            yield Breach("array-below-controller", plant.ident, trail, words, found, Amount(low, "W"))
        if exceeds(usual.low_w, plant.power_w) or exceeds(plant.power_w, usual.high_w):
            limit = usual.low_w if plant.power_w < usual.low_w else usual.high_w
            here = {**words, "low": Amount(usual.low_w, "W"), "high": Amount(usual.high_w, "W")}
            yield Breach("array-outside-usual", plant.ident, trail, here, found, Amount(limit, "W"), (usual,))
        nominal = charger.output_v or van.system.van.nominal_v
        amps = plant.power_w / nominal
        if exceeds(amps, charger.output_a):
            here = {**words, "power": found, "nominal": Amount(nominal, "V")}
            limit_a = Amount(charger.output_a, "A")
            yield Breach("array-above-output", plant.ident, trail, here, Amount(amps, "A"), limit_a)


@rule("strings-without-fuses")
def strings(van: Van) -> Iterator[Breach]:
    """Three or more strings in parallel have a fuse each."""
    most = constant("strings without fuses")
    for plant in _plants(van):
        count = sum(array.parallel for array in plant.arrays.values())
        bare = [name for name, array in plant.arrays.items() if array.parallel > 1 or not _fused(van, name)]
        if count > most.value and bare:
            words = _words(van, plant)
            found, limit = Amount(count), Amount(most.value)
            yield Breach(
                "strings-without-fuses", plant.ident, van.trail(plant.ident), words, found, limit, (most,)
            )


def _fused(van: Van, ident: str) -> bool:
    """Whether a fuse follows an array's plus before anything else joins it."""
    node, seen = f"{ident}.+", set()
    while True:
        edges = [edge for edge in van.network.at(node) if edge.id not in seen]
        if len(edges) != 1:
            return False
        if isinstance(edges[0], FuseLink):
            return True
        if not isinstance(edges[0], Conductor):
            return False
        seen.add(edges[0].id)
        node = edges[0].end if edges[0].start == node else edges[0].start
