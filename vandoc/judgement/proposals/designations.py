"""Proposed designations for the items of a van that have none (IEC 81346-2:2019, letters of main classes)."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from vandoc.analysis import Van
from vandoc.ground.data import rows
from vandoc.ground.errors import VandocError
from vandoc.ground.messages import Messages
from vandoc.judgement.checks.change import file_key
from vandoc.model.designations import designated
from vandoc.model.references import Path as Trail
from vandoc.model.wiring import Load

say = Messages("vandoc.judgement.proposals", "designations").say

CABLE = "W"
OF_STARTS = {"glow-plug": "E", "compressor": "E", "pump": "G", "motor": "M"}
"""Letters of loads by how they start: a heater and a refrigerator act by heat, a pump makes a flow."""


@dataclass(frozen=True)
class ClassLetter:
    """The letter of a main class, and the task of its objects."""

    letter: str
    task: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class ProposedDesignation:
    """A designation for an item that has none.

    Attributes
    ----------
    name : str
        Name of the item in the van file; a cable's ends if it has none.
    key : str
        Its key in the van file, such as ``circuits[3].designation``.
    designation : str or None
        None where the class is not known.
    """

    name: str
    key: str
    designation: str | None


@cache
def class_letters() -> Mapping[str, ClassLetter]:
    """Return the classes that a van's electrics need, by letter."""
    return MappingProxyType({row.letter: row for row in rows("class_letters", ClassLetter)})


def proposed_designations(van: Van, letters: Mapping[str, str]) -> tuple[ProposedDesignation, ...]:
    """Return a designation for each item that has none, in the order of the file.

    A number is never used again: those of archived revisions count too.

    Parameters
    ----------
    van : Van
    letters : mapping
        Letters chosen by a person, by the name of the item.

    Raises
    ------
    ValueError
        With a message for the user, if a letter is none of those that are known.
    """
    for name, letter in letters.items():
        if letter not in class_letters():
            raise ValueError(say("letter", name=name, letter=letter, known=", ".join(class_letters())))
    last: dict[str, int] = {}
    for used in _used(van):
        letter = used.rstrip("0123456789")
        last[letter] = max(last.get(letter, 0), int(used[len(letter) :]))
    found = []
    for trail, designation in designated(van.stated):
        if designation is not None:
            continue
        name = _name(van, trail)
        of_class = _letter(van, trail, letters)
        if of_class is not None:
            last[of_class] = last.get(of_class, 0) + 1
            designation = f"{of_class}{last[of_class]}"
        found.append(ProposedDesignation(name, file_key(van.stated, (*trail, "designation")), designation))
    return tuple(found)


def _used(van: Van) -> Iterator[str]:
    systems = [van.stated]
    for revision in van.revisions or ():
        try:
            systems.append(revision.van_file().system)
        except VandocError:
            continue  # a copy that can no longer be read has no designations that this version knows
    for system in systems:
        yield from (designation for _, designation in designated(system) if designation is not None)


def _name(van: Van, trail: Trail) -> str:
    if trail[0] in ("equipment", "loads"):
        return str(trail[1])
    if trail[0] == "circuits":
        return van.stated.circuits[int(trail[1])].id
    cable = van.stated.cables[int(trail[1])]
    return cable.id or f"{cable.start} to {cable.end}"


def _letter(van: Van, trail: Trail, letters: Mapping[str, str]) -> str | None:
    if trail[0] in ("cables", "circuits"):
        return CABLE
    ident = str(trail[1])
    if ident in letters:
        return letters[ident]
    if trail[0] == "equipment":
        return van.stated.equipment[ident].class_letter
    return _of_load(van, ident, van.stated.loads[ident])


def _of_load(van: Van, ident: str, load: Load) -> str | None:
    if any(alarm.load == ident for alarm in van.stated.alarms):
        return "B"
    if load.importance == "lighting":
        return "E"
    return OF_STARTS.get(load.starts_as or "")


def designations_listed(found: tuple[ProposedDesignation, ...]) -> str:
    """Return proposed designations as text, one on each line, with what is asked for."""
    if not found:
        return say("none")
    wide = max(len(item.designation or "") for item in found)
    lines = [f"  {item.designation:<{wide}}  {item.name}" for item in found if item.designation]
    asked = [item.name for item in found if item.designation is None]
    source = class_letters()[CABLE]
    lines += [say("source", source=source.source)]
    return "\n".join([*lines, *([say("asked", names=", ".join(asked))] if asked else [])])
