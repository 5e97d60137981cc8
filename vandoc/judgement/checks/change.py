"""One change to a van, or two that belong together: the edits of the model and their wording."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Literal, Optional, TypeVar, get_args

from pydantic import BaseModel

from vandoc.ground.figures import plain, stated
from vandoc.ground.messages import Messages
from vandoc.judgement.checks.finding import NearestChange
from vandoc.model.base import key_of
from vandoc.model.equipment import BoardFuse
from vandoc.model.references import Path as Trail
from vandoc.model.system import System
from vandoc.model.wiring import Return

WORDS = Messages("vandoc.judgement.checks", "changes")
AnySystem = TypeVar("AnySystem", bound=System)
Kind = Literal[
    "fuse",
    "setting",
    "area",
    "insulation",
    "bunched",
    "family",
    "sheathed",
    "length",
    "rating",
    "end",
    "twin",
]
KINDS = get_args(Kind)
BY_ATTRIBUTE = ("setting", "rating")
"""Kinds that are worded by the attribute that changes."""
EFFORT: Mapping[Kind, int] = MappingProxyType({"fuse": 0, "setting": 0, "area": 1, "insulation": 2})
"""vandoc's own value: the work of a kind of change, in cable sizes; 3 if it is not listed."""


@dataclass(frozen=True)
class Change:
    """A change of one item.

    Attributes
    ----------
    kind : str
        Selects the wording.
    name : str
        Name of the item that changes, as in the van file.
    edits : tuple of (trail, value)
        Model attributes and their new values; the first gives the van-file key that is shown.
    now, then : str
        The value before and after, as shown; `now` is empty if the file does not state one.
    steps : int
        Distance from the present size in its series of standard sizes.
    cost : float
        Orders changes of one kind with the same number of steps: mm²·m of copper.
    also : Change or None
        A change that must be made together with this one.
    """

    kind: Kind
    name: str
    edits: tuple[tuple[Trail, object], ...]
    now: str
    then: str
    steps: int = 1
    cost: float = 0.0
    also: Optional["Change"] = None

    @property
    def nearness(self) -> tuple[int, int, int, float]:
        """Sort key: least work first; replacing a fuse is the same work whatever the difference in size."""
        far = 0 if self.kind in ("fuse", "setting") else self.steps
        work, steps, cost = EFFORT.get(self.kind, 3) + far, self.steps, self.cost
        if self.also is not None:
            more = self.also.nearness
            work, steps, cost = work + more[0], steps + more[1], cost + more[3]
        return work, steps, KINDS.index(self.kind), cost

    @property
    def parts(self) -> tuple["Change", ...]:
        """The single changes that are made together."""
        return (self, *(self.also.parts if self.also is not None else ()))

    def together_with(self, other: "Change") -> "Change":
        """Return this change combined with another that must be made with it."""
        return replace(self, also=other if self.also is None else self.also.together_with(other))

    def said(self, system: System) -> NearestChange:
        """Return the wording of the change."""
        first, *others = (part._said() for part in self.parts)
        both = WORDS.say("both", one=first, other="; ".join(others)) if others else first
        text = WORDS.say("passes", change=both)
        key = file_key(system, self.edits[0][0])
        return NearestChange(text, key, self.now or None, self.then)

    def _said(self) -> str:
        attribute = str(self.edits[0][0][-1])
        form: str = self.kind
        if form in BY_ATTRIBUTE:
            form += f".{attribute if attribute in WORDS[form] else 'other'}"
        now, plain_name = self.now or WORDS.say("unstated"), key_of(attribute).replace("_", " ")
        return WORDS.say(form, name=self.name, now=now, then=self.then, attribute=plain_name)


def shown(value: object, unit: str = "") -> str:
    """Return a value as text for a change.

    Examples
    --------
    >>> shown(16.0, "mm²"), shown(True), shown("class-T")
    ('16 mm²', 'yes', 'class-T')
    """
    if isinstance(value, bool):
        return WORDS.say("yes" if value else "no")
    if isinstance(value, int | float):
        return plain(stated(float(value), unit))
    return "" if value is None else str(value)


def changed(system: AnySystem, change: Change) -> AnySystem:
    """Return a copy of a system with a change made."""
    for trail, value in change.edits:
        system = _set(system, trail, value)
    return system if change.also is None else changed(system, change.also)


def _set(holder: Any, trail: Trail, value: object) -> Any:
    if not trail:
        return value
    step, *rest = trail
    after = tuple(rest)
    if isinstance(holder, list):
        return [_set(entry, after, value) if n == step else entry for n, entry in enumerate(holder)]
    if isinstance(holder, dict):
        return {**holder, step: _set(holder.get(step) or BoardFuse(), after, value)}
    before = getattr(holder, str(step))
    if step == "return_" and isinstance(before, str) and after:
        before = Return(to=before)  # the short form states only the terminal
    return holder.model_copy(update={str(step): _set(before, after, value)})


def file_key(system: System, trail: Trail) -> str:
    """Return the van-file key of a model attribute.

    Examples
    --------
    The attribute ``("circuits", 3, "cable", "area_mm2")`` is ``circuits[3].cable.area``.
    """
    text = ""
    holder: Any = system
    for step in trail:
        name = str(step)
        if isinstance(holder, BaseModel):
            name = type(holder).model_fields[name].alias or name
            holder = getattr(holder, str(step))
        elif isinstance(holder, dict):
            holder = holder.get(step) or BoardFuse()
        elif isinstance(holder, list):
            holder = holder[int(step)]
        else:  # the short form of a return has no keys of its own
            name = Return.model_fields[name].alias or name
        text += f"[{step}]" if isinstance(step, int) else f".{name}"
    return text.removeprefix(".")
