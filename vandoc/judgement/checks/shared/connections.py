"""Functions shared by the rules on connections."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.physics.network.graph import Source


def is_shorted(van: Van) -> bool:
    """Whether a positive is connected to a negative; then the rest of the wiring cannot be checked."""
    return bool(van.network.positive & van.network.negative)


def unlike_batteries(van: Van) -> Iterator[tuple[Source, Source]]:
    """Yield each battery that is connected to one of another nominal voltage before it in the file."""
    tolerance = constant("same nominal voltage").value
    seen: list[Source] = []
    for battery in van.network.batteries():
        net = van.network.joined(battery.plus)
        other = next((one for one in seen if one.plus in net), None)
        seen.append(battery)
        if other is not None:
            low, high = sorted((battery.nominal_v, other.nominal_v))
            if high > tolerance * low:
                yield battery, other


def is_unsolvable(van: Van) -> bool:
    """Whether currents mean nothing, so that nothing but this is checked."""
    return is_shorted(van) or next(unlike_batteries(van), None) is not None
