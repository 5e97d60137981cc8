"""The largest cable that each terminal of a van takes."""

from vandoc.ground.calc.terminal import TerminalSize, terminal_size
from vandoc.model.equipment import Piece
from vandoc.model.system import CompletedSystem
from vandoc.physics import limits
from vandoc.physics.network.expand import area_in_mm2
from vandoc.physics.network.graph import Conductor, owner_of

SIGNALS = (".ignition", ".sensor")  # terminals that carry no power
STATED = "stated in the van file"


def size_at(system: CompletedSystem, terminal: str) -> TerminalSize | None:
    """Return the largest cable at a terminal: the stated one, or the usual one of its stud or fuse family.

    Parameters
    ----------
    system : CompletedSystem
    terminal : str
        In full, such as ``board.3``.

    Returns
    -------
    TerminalSize or None
        None if nothing is known: neither stated nor a stud or fuse family.
    """
    piece = system.equipment.get(owner_of(terminal))
    if piece is None or terminal.endswith(SIGNALS):
        return None
    held, position = piece.positions(), None
    if held is not None and not terminal.endswith(f".{held.feed}"):
        position = held.family
    stated = piece.position_cable_mm2() if position else piece.largest_cable_mm2
    if (area := area_in_mm2(stated)) is not None:
        return TerminalSize(terminal, area, area, STATED, from_memory=False)
    if position in ("C", "E", "F"):
        return terminal_size(position)
    return _of_stud(piece, position)


def _of_stud(piece: Piece, position: str | None) -> TerminalSize | None:
    if piece.stud is not None:
        return terminal_size(piece.stud)
    protects = piece.protects()
    family = position or (protects.family if protects is not None else None)
    return terminal_size(family) if family else None


def largest_standard_mm2(system: CompletedSystem, conductor: Conductor) -> float:
    """Return the largest standard size that fits both ends of a cable, as far as they are known. [mm²]"""
    sizes = limits.cable_sizes(system)
    found = [size_at(system, end) for end in (conductor.start, conductor.end)]
    most = min((size.most_mm2 for size in found if size is not None), default=sizes[-1])
    return max((area for area in sizes if area <= most + 1e-6), default=sizes[0])
