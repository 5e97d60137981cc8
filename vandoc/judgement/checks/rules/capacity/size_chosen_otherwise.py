"""What was calculated when it was fitted would still be chosen today."""

from collections.abc import Iterator
from typing import Any

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, note, rule
from vandoc.model.base import StrictModel
from vandoc.model.references import Path as Trail
from vandoc.model.system import CompletedSystem

SIZES = ("area_mm2", "rating_a")


@rule(note("size-chosen-otherwise"))
def size_chosen_otherwise(van: Van) -> Iterator[Breach]:
    """What was calculated when it was fitted would still be chosen today."""
    system = _opened(van.system)
    if system is van.system:
        return
    today = van.changed_with(lambda _: _of_completed(system)).sizing
    told: set[tuple[str, float]] = set()
    for ident, cable in van.sizing.conductors.items():
        other = today.conductors[ident]
        subject = van.subject(cable.conductor)
        if cable.proposed or not other.proposed or (subject, other.area_mm2) in told:
            continue
        if other.area_mm2 != cable.area_mm2:
            told.add((subject, other.area_mm2))
            yield _breach(subject, cable.conductor.trail, ident, cable.size, Amount(other.area_mm2, "mm²"))
    for ident, fuse in van.sizing.fuses.items():
        chosen = today.fuses[ident]
        if not fuse.proposed and chosen.proposed and chosen.rating_a != fuse.rating_a:
            name, now = van.fuse_name(fuse.link), Amount(fuse.rating_a, "A").text()
            yield _breach(fuse.link.owner, fuse.link.trail, name, now, Amount(chosen.rating_a, "A"))


def _breach(subject: str, trail: Trail, item: str, size: str, today: Amount) -> Breach:
    return Breach("size-chosen-otherwise", subject, trail, {"item": item, "size": size, "today": today})


def _of_completed(system: Any) -> CompletedSystem:
    assert isinstance(system, CompletedSystem)
    return system


def _opened(part: Any) -> Any:
    """Return a part of the file with the calculated sizes of cables and fuses open; itself if none is."""
    if isinstance(part, list):
        made = [_opened(item) for item in part]
        return part if all(one is item for one, item in zip(made, part, strict=True)) else made
    if isinstance(part, dict):
        found = {key: _opened(item) for key, item in part.items()}
        return part if all(found[key] is item for key, item in part.items()) else found
    if not isinstance(part, StrictModel):
        return part
    fields = type(part).model_fields
    update = {
        name: new for name in fields if (new := _opened(getattr(part, name))) is not getattr(part, name)
    }
    if getattr(part, "calculated", False):
        update |= {size: None for size in SIZES if size in fields}
    return part.model_copy(update=update) if update else part
