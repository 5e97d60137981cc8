"""Functions shared by the rules on connections."""

from vandoc.analysis import Van


def is_shorted(van: Van) -> bool:
    """Whether a positive is connected to a negative; then the rest of the wiring cannot be checked."""
    return bool(van.network.positive & van.network.negative)
