"""Vans with values in the place of those that nobody knows, from end to end of what can be fitted."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, cast, get_args

from vandoc.ground.chemistry import known
from vandoc.ground.unknown import CANNOT_TELL
from vandoc.model.base import ProposedNumber
from vandoc.model.equipment import Battery, Sizable, full_terminals
from vandoc.model.references import Path as Trail
from vandoc.model.system import CompletedSystem, System
from vandoc.model.traits import CHASSIS, FittedFamily
from vandoc.model.unknowns import Quantity, Unknown, unknowns, with_values
from vandoc.model.wiring import Cable, Load
from vandoc.physics.energy import provisional
from vandoc.physics.network.expand import build

COUNT = 8
"""Analyses with all pairs of ends of up to seven unknown values."""
DIRECTED = 3
"""Further ones: everything weak, everything strong, and fuses too small for their loads."""
# Ends of what can be fitted, several near each; own choice. A result between two of them is never shown.
ENDS: dict[Quantity, tuple[tuple[float, ...], tuple[float, ...]]] = {
    "length": ((0.1, 0.13, 0.17), (30.0, 26.0, 23.0)),
    "area": ((0.75, 1.0), (120.0, 95.0)),
    "insulation": ((70.0, 75.0), (105.0, 90.0)),
    "rating": ((1.0, 2.0, 3.0), (500.0, 400.0, 300.0)),
    "current": ((0.05, 0.07, 0.11), (40.0, 33.0, 27.0)),
    "power": ((0.6, 0.9, 1.4), (500.0, 420.0, 340.0)),
    "capacity": ((20.0, 26.0, 34.0), (400.0, 330.0, 270.0)),
}
_WEAK: frozenset[Quantity] = frozenset({"length", "rating", "current", "power", "through"})
_SMALL_FUSES: frozenset[Quantity] = frozenset(
    {"length", "area", "current", "power", "insulation", "capacity"}
)
_FAMILIES = get_args(FittedFamily)
_BEYOND = ("nothing", "load", "source")


def supposed(system: System) -> tuple[System, ...]:
    """Return the system several times, with values for what it states as unknown; none if it knows all."""
    found = unknowns(system)
    return tuple(_with(system, found, turn) for turn in range(COUNT + DIRECTED)) if found else ()


def invented(stated: System, others: Iterable[System]) -> frozenset[str]:
    """Return the items that were only supposed, beyond what nobody knows."""
    return frozenset(name for other in others for name in other.things if name not in stated.things)


def restored(systems: Sequence[CompletedSystem], stated: System) -> CompletedSystem | None:
    """Return the completed system with unknown values unknown again, and sizes that follow from them too."""
    if not systems:
        return None
    first = systems[0]
    equipment = dict(stated.equipment)
    for ident, piece in first.equipment.items():
        if isinstance(piece, Sizable) and piece.proposed is not None:
            sizes = {cast(Sizable, one.equipment[ident]).proposed for one in systems}
            size = piece.proposed if len(sizes) == 1 else ProposedNumber(CANNOT_TELL, "need")
            equipment[ident] = cast(Sizable, equipment[ident]).with_proposed(size)
    return CompletedSystem.model_construct(
        stated.model_fields_set, **{**dict(stated), "equipment": equipment}
    )


def _with(system: System, found: Sequence[Unknown], turn: int) -> System:
    values: dict[Trail, Any] = {}
    for number, one in enumerate(found):
        if one.quantity in ENDS:
            low, high = ENDS[one.quantity]
            end = high if _is_high(one.quantity, number, turn) else low
            values[one.trail] = end[(number + turn) % len(end)]
        elif one.quantity == "family":
            values[one.trail] = _FAMILIES[(number + turn) % len(_FAMILIES)]
        elif one.quantity == "through":
            values[one.trail] = list(system.places) if _is_high(one.quantity, number, turn) else []
    known: System = with_values(system, values)
    items = [one.subject for one in found if one.quantity in ("unidentified", "unseen")]
    for number, ident in enumerate(items):
        what, joined = _BEYOND[(number + turn) % len(_BEYOND)], (number + turn) % 2 == 1
        tried = _beyond(known, ident, what, joined=joined)
        known = known if _shorted(tried) else tried  # a fuse has not blown: it is no short circuit
    return known


def _shorted(system: System) -> bool:
    network = build(provisional(system))
    return bool(network.positive & network.negative)


def _is_high(quantity: Quantity, number: int, turn: int) -> bool:
    if turn < COUNT:
        return ((number % (COUNT - 1) + 1) & turn).bit_count() % 2 == 1
    weak, strong = quantity in _WEAK, quantity not in _WEAK
    return (weak, strong, quantity in _SMALL_FUSES)[turn - COUNT]


def _beyond(system: System, ident: str, what: str, *, joined: bool) -> System:
    """Return the system with something connected to an item of which nobody knows what it is, or leads to."""
    piece = system.equipment[ident]
    if joined:
        piece = piece.supposed_joined()
    equipment, loads, cables = {**system.equipment, ident: piece}, dict(system.loads), list(system.cables)
    terminal = next(full_terminals(ident, piece))
    name = f"beyond-{ident}"[:40].rstrip("-")
    if what == "load":
        loads[name] = Load.model_validate({"name": name, "place": piece.place, "current": "17 A"})
    elif what == "source":
        equipment[name] = _battery(name, piece.place)
    if what != "nothing":
        *_, last = full_terminals(ident, piece)
        cables += _leads(name, terminal, last if what == "load" and last != terminal else _body(system))
    return system.model_copy(update={"equipment": equipment, "loads": loads, "cables": cables})


def _battery(name: str, place: str) -> Battery:
    kind = next(iter(known()))
    stated = {"kind": "battery", "name": name, "place": place, "chemistry": kind, "capacity": "90 Ah"}
    return Battery.model_validate({**stated, "role": "starter"})


def _body(system: System) -> str:
    """Return where a current of unknown origin returns: the vehicle body, or a battery's negative."""
    ends = {end for cable in system.cables for end in (cable.start, cable.end)}
    if CHASSIS in ends or not system.batteries:
        return CHASSIS
    return f"{next(iter(system.batteries))}.-"


def _leads(name: str, terminal: str, body: str) -> Iterator[Cable]:
    for start, end in ((terminal, f"{name}.+"), (f"{name}.-", body)):
        yield Cable.model_validate({"from": start, "to": end, "length": "1 m", "area": "16 mm²"})
