"""What several rules about connections share."""

from vandoc.analysis import Van


def is_shorted(van: Van) -> bool:
    """Whether a plus and a minus are joined; the rest of the wiring cannot be judged then."""
    return bool(van.network.positive & van.network.negative)
