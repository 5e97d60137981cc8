"""The cables of a circuit: each segment from its fuse to its loads, and the returns."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum
from typing import Literal

from vandoc.ground.unknown import UNKNOWN
from vandoc.model.chains import Leg, Link, legs, links, unstated
from vandoc.model.references import Path as Trail
from vandoc.model.system import CompletedSystem
from vandoc.model.wiring import Circuit, Return, Run


@dataclass(frozen=True)
class Core:
    """One core of a circuit, before its properties are worked out.

    Attributes
    ----------
    id : str
    role : str
    start, end : str
        Terminals.
    runs : tuple of Run
        The lengths of cable in which it lies; a return can lie in several.
    length_m : float
    area : float, str or None
        As the file states it.
    trail, run_trail : tuple
        Path of its entry, and of the run that says how it lies.
    leg : int
        Number of the way to a load that it belongs to, from 0.
    between : tuple of str
        Items that it passes without ending at them.
    """

    id: str
    role: Literal["supply", "return"]
    start: str
    end: str
    runs: tuple[Run, ...]
    length_m: float
    area: float | str | None
    trail: Trail
    run_trail: Trail
    leg: int
    between: tuple[str, ...] = ()


def cores(system: CompletedSystem, index: int) -> Iterator[Core]:
    """Yield the supply cores of a circuit in the order of the file, then its returns."""
    circuit = system.circuits[index]
    found = legs(circuit)
    leg_of: dict[str | None, int] = {}
    for leg in found:
        for link in leg.links:
            leg_of.setdefault(link.end, leg.number)
    for count, link in enumerate(links(circuit)):
        trail = _link_trail(index, link)
        yield Core(
            _numbered(f"{circuit.id} supply", count),
            "supply",
            _leaves(system, circuit, link.start),
            _enters(system, circuit, link.end or ""),
            (link.run,),
            link.run.length_m,
            link.run.area_mm2,
            trail,
            trail,
            leg_of.get(link.end, 0),
        )
    for leg in found:
        yield _return(circuit, index, leg)


def plain_joins(system: CompletedSystem, circuit: Circuit) -> Iterator[tuple[str, str, str, str]]:
    """Yield name, start, end and owner of each connection for which the file states no cable."""
    for ident, load in unstated(circuit):
        if ident in circuit.loads:
            for sign in "+-":
                yield (
                    f"{circuit.id}: {ident}.{sign} with {load}.{sign}",
                    f"{ident}.{sign}",
                    f"{load}.{sign}",
                    ident,
                )
        else:
            yield f"{circuit.id}: switch to {load}", _leaves(system, circuit, ident), f"{load}.+", ident


def _return(circuit: Circuit, index: int, leg: Leg) -> Core:
    way = circuit.return_ if isinstance(circuit.return_, Return) else Return(to=circuit.return_)
    last = leg.links[-1]
    stated = way if leg.number == 0 else last.back
    areas = {link.run.area_mm2 for link in leg.links}
    area = next(iter(areas)) if len(areas) == 1 else UNKNOWN if UNKNOWN in areas else None
    lengths = [link.run.length_m for link in leg.links]
    length = UNKNOWN if UNKNOWN in lengths else fsum(lengths)
    trail: Trail = ("circuits", index, "return")
    return Core(
        _numbered(f"{circuit.id} return", leg.number),
        "return",
        f"{leg.load}.-",
        way.to if leg.before is None else f"{leg.before}.-",
        tuple(link.run for link in leg.links),
        length if stated is None or stated.length_m is None else stated.length_m,
        area if stated is None or stated.area_mm2 is None else stated.area_mm2,
        trail if leg.number == 0 else (*_link_trail(index, last), "return"),
        _link_trail(index, last),
        leg.number,
        tuple(link.end for link in leg.links[:-1] if link.end is not None),
    )


def _link_trail(index: int, link: Link) -> Trail:
    return ("circuits", index, "cable", *(() if link.number is None else (link.number,)))


def _numbered(name: str, count: int) -> str:
    return name if count == 0 else f"{name} {count + 1}"


def _enters(system: CompletedSystem, circuit: Circuit, ident: str) -> str:
    return f"{ident}.+" if ident in circuit.loads else _terminal(system, ident, 0)


def _leaves(system: CompletedSystem, circuit: Circuit, ident: str | None) -> str:
    if ident is None:
        return f"{circuit.fuse.board}.{circuit.fuse.position}"
    return f"{ident}.+" if ident in circuit.loads else _terminal(system, ident, 1)


def _terminal(system: CompletedSystem, ident: str, side: int) -> str:
    ends = system.equipment[ident].passes()
    assert ends is not None
    return f"{ident}.{ends[side]}" if ends[side] else ident
