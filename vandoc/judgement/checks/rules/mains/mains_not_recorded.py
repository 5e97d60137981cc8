"""Equipment at mains voltage has a record; its safety is left to licensed practice."""

from collections.abc import Iterator
from typing import Literal

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, note, review, rule

Part = Literal["hook_up", "inverter_output"]


REQUIRED_FIELDS = ("rcd", "protective_device", "inspected")
OF_PART: dict[Part, tuple[str, ...]] = {"hook_up": ("polarity",), "inverter_output": ("neutral_earth_bond",)}


@rule(
    review("mains-not-recorded"),
    review("mains-record-incomplete"),
    review("changeover-not-recorded"),
    note("mains-by-licensed-practice"),
)
def recorded(van: Van) -> Iterator[Breach]:
    """Equipment at mains voltage has a record; its safety is left to licensed practice."""
    mains = van.system.mains
    parts: tuple[Part, ...] = ("hook_up", "inverter_output")
    for part in parts:
        record = getattr(mains, part) if mains else None
        fitted = list(_fitted(van, part))
        if record is None:
            for ident in fitted:
                words = {"name": van.name(ident)}
                yield Breach("mains-not-recorded", ident, van.trail(ident), words)
            continue
        words = {"part": part}
        trail = ("mains", part)
        missing = [key for key in REQUIRED_FIELDS + OF_PART[part] if getattr(record, key) is None]
        if missing:
            keys = {"missing": "', '".join(missing)}
            yield Breach("mains-record-incomplete", part, trail, words | keys)
        yield Breach("mains-by-licensed-practice", part, trail, words)
    both = all(getattr(mains, part, None) is not None or any(_fitted(van, part)) for part in parts)
    if both and (mains is None or mains.changeover is None):
        yield Breach("changeover-not-recorded", "mains", ("mains",))


def _fitted(van: Van, part: Part) -> Iterator[str]:
    return (ident for ident, piece in van.system.equipment.items() if piece.mains() == part)
