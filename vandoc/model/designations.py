"""Reference designations of a van: where they are stated, and what fuses and conductors get from them."""

from collections.abc import Iterator

from vandoc.model.system import System

Trail = tuple[str | int, ...]
SIGNS = {"supply": "+", "return": "−"}


def designated(system: System) -> Iterator[tuple[Trail, str | None]]:
    """Yield the path of each item that can have a designation, in the order of the file, with what it has."""
    for ident, piece in system.equipment.items():
        yield ("equipment", ident), piece.designation
    for ident, load in system.loads.items():
        yield ("loads", ident), load.designation
    for index, cable in enumerate(system.cables):
        yield ("cables", index), cable.designation
    for index, circuit in enumerate(system.circuits):
        yield ("circuits", index), circuit.designation


def of_fuse(system: System, owner: str, position: int | None) -> str:
    """Return the designation of a fuse: that of its holder, or its position as part of its board.

    Parts are joined by the hyphen of the product aspect (IEC 81346-1).
    """
    found = system.equipment[owner].designation
    if found is None:
        return ""
    return found if position is None else f"{found}-F{position}"


def of_conductor(system: System, trail: Trail, role: str) -> str:
    """Return the designation of a conductor: the cable's own, or the circuit's with the sign of its side.

    Of several segments, the second is ``W5+2``, and the return from its load ``W5−2``.

    Parameters
    ----------
    trail : tuple
        Path of its entry in the van file.
    role : str
        `supply`, `return` or `cable`.
    """
    section, index = trail[0], int(trail[1])
    if section == "cables":
        return system.cables[index].designation or ""
    found = system.circuits[index].designation
    segment = next((int(step) + 1 for step in trail[2:] if isinstance(step, int)), 1)
    return f"{found}{SIGNS.get(role, '')}{segment if segment > 1 else ''}" if found else ""
