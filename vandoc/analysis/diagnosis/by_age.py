"""The order of age: what is chosen by order, such as a load to try, stays when another load is added."""

from collections.abc import Callable, Iterable
from math import inf

from vandoc.analysis import Van
from vandoc.ground.errors import SystemFileError


def oldest_first(van: Van) -> Van:
    """Return the van with its loads and circuits in the order in which they were archived; new ones last.

    Where the file lists a new load then decides nothing about the others.
    """
    loads: dict[str, None] = {}
    circuits: dict[str, None] = {}
    for revision in van.revisions or ():
        try:
            then = revision.van_file().system
        except SystemFileError:
            continue  # a copy that can no longer be read has no order that this version knows
        loads |= dict.fromkeys(then.loads)
        circuits |= dict.fromkeys(one.id for one in then.circuits)
    now = van.system
    found = {one.id: one for one in now.circuits}
    by_load, by_circuit = sorted(now.loads, key=_position(loads)), sorted(found, key=_position(circuits))
    if by_load == list(now.loads) and by_circuit == list(found):
        return van
    order = {
        "loads": {ident: now.loads[ident] for ident in by_load},
        "circuits": [found[ident] for ident in by_circuit],
    }
    return van.changed_with(lambda system: system.model_copy(update=order))


def _position(order: Iterable[str]) -> Callable[[str], float]:
    """The position of a name; names that are not in the order come after all others."""
    positions = {name: position for position, name in enumerate(order)}
    return lambda name: positions.get(name, inf)
