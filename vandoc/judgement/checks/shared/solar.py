"""Functions shared by the rules on solar charging."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

from vandoc.analysis import Van
from vandoc.ground.calc.solar import array_isc_a
from vandoc.judgement.checks.rule import Word
from vandoc.model import equipment as eq


@dataclass(frozen=True)
class Plant:
    """A solar charger with the arrays connected to it."""

    ident: str
    charger: eq.Charger
    arrays: dict[str, eq.SolarArray]

    @property
    def power_w(self) -> float:
        return fsum(a.total_w for a in self.arrays.values())

    @property
    def isc_a(self) -> float:
        return fsum(array_isc_a(a.parallel, a.isc_a) for a in self.arrays.values())


def plants(van: Van) -> Iterator[Plant]:
    for ident, charger in van.of_kind(eq.Charger):
        if charger.source == "solar":
            sources = van.sources_in(van.net(f"{ident}.pv+"), "solar")
            panels = dict(van.of_kind(eq.SolarArray))
            arrays = {source.owner: panels[source.owner] for source in sources}
            if arrays:
                yield Plant(ident, charger, arrays)


def string_of(van: Van, ident: str) -> dict[str, eq.SolarArray]:
    """Return the arrays in series from one at a controller on, that one first."""
    panels = van.system.of_kind(eq.SolarArray)
    first = next(source for source in van.network.sources if source.owner == ident)
    return {source.owner: panels[source.owner] for source in van.network.string(first)}


def words_of(van: Van, plant: Plant) -> dict[str, Word]:
    return {"charger": van.name(plant.ident), "array": van.names(plant.arrays)}
