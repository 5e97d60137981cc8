"""Names in a van file that a reader cannot tell apart."""

from collections.abc import Iterator

from vandoc.ground.likeness import looks
from vandoc.model.references import Path
from vandoc.model.system import System


def alike(system: System) -> Iterator[tuple[Path, Path]]:
    """Yield the path of each name that looks like an earlier one of the same list, and the path of that one.

    Equipment and loads are one list: an owner meets both as devices.
    """
    devices: dict[Path, str] = {
        ("equipment", ident, "name"): it.name for ident, it in system.equipment.items()
    }
    devices |= {("loads", ident, "name"): load.name for ident, load in system.loads.items()}
    places: dict[Path, str] = {("places", ident, "label"): it.label for ident, it in system.places.items()}
    circuits: dict[Path, str] = {
        ("circuits", index, "name"): circuit.name
        for index, circuit in enumerate(system.circuits)
        if circuit.name is not None
    }
    for named in (devices, places, circuits):
        yield from _alike(named)


def _alike(named: dict[Path, str]) -> Iterator[tuple[Path, Path]]:
    seen: dict[tuple[int, str], Path] = {}
    for path, name in named.items():
        outlines = list(enumerate(looks(name)))
        earlier = next((seen[outline] for outline in outlines if outline in seen), None)
        if earlier is not None:
            yield path, earlier
        for outline in outlines:
            seen.setdefault(outline, path)
