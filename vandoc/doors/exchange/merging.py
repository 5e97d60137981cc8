"""Rows of a table merged into a van file: what they state is changed or added, nothing is deleted."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from vandoc.doors.exchange.columns import IDENT, KEYS, LISTED, NAMES, SEVERAL
from vandoc.doors.exchange.table import Row, cable_name, exported
from vandoc.doors.exchange.words import say
from vandoc.ground.errors import Problem, SystemFileError
from vandoc.model.base import CALCULATED
from vandoc.pages.manual.text import clean
from vandoc.reading import editing

SIZES = ("area", "rating", "return_area")  # a size from a table is no longer calculated
SECTIONS = {"load": "loads", "circuit": "circuits", "segment": "circuits", "cable": "cables"}


@dataclass(frozen=True)
class Change:
    """A changed or added value.

    Attributes
    ----------
    what, name, column : str
    old, new : str
        `old` is empty if the file did not state it.
    """

    what: str
    name: str
    column: str
    old: str
    new: str


@dataclass(frozen=True)
class Merged:
    """A van file with the rows of a table.

    Attributes
    ----------
    draft : Draft
    added : tuple of (str, str)
        Items that the file did not have, each with its name.
    changes : tuple of Change
        Of items that it had.
    missing : tuple of (str, str)
        Items of the file that the table lacks; they stay.
    kept : tuple of Change
        Values of the file for which the table has an empty cell in a column that it has; they stay.
    rows : mapping
        Row of each item, by section and place in the file.
    """

    draft: editing.Draft
    added: tuple[tuple[str, str], ...]
    changes: tuple[Change, ...]
    missing: tuple[tuple[str, str], ...]
    kept: tuple[Change, ...]
    rows: Mapping[str, Row]


def merged(draft: editing.Draft, rows: Iterable[Row]) -> Merged:
    """Merge rows into a van file by identifier.

    Raises
    ------
    VandocError
        If the file is not YAML that can be changed.
    """
    found = list(rows)
    plain = editing.plain(draft)
    before = {(row.what, row.name): row for row in exported(plain)}
    wanted = {(row.what, row.name): row for row in found}
    changes = [change for row in found if (row.what, row.name) in before for change in _changes(before, row)]
    added = tuple(key for key in wanted if key not in before)
    kept = [
        Change(row.what, row.name, column, old, "")
        for key, row in wanted.items()
        if key in before
        for column, old in before[key].cells.items()
        if column not in row.cells and column in (row.columns or {})
    ]

    def change(tree: Any) -> None:
        for one in changes:
            _put(_item(tree, one.what, one.name), one.what, one.column, one.new)
        for key in added:
            _add(tree, wanted[key])

    after = editing.changed(draft, change) if changes or added else draft
    missing = tuple(key for key in before if key not in wanted)
    return Merged(after, added, tuple(changes), missing, tuple(kept), _places(editing.plain(after), wanted))


def _changes(before: Mapping[tuple[str, str], Row], row: Row) -> Iterator[Change]:
    old = before[row.what, row.name].cells
    for column, new in row.cells.items():
        if _shown(new) != _shown(old.get(column, "")):
            yield Change(row.what, row.name, column, old.get(column, ""), new)


def _shown(text: str) -> str:
    """Return what a table can show of a text: signs that are not seen do not survive a spreadsheet."""
    return " ".join(clean(text).split())


def _item(tree: Any, what: str, name: str) -> Any:
    section = tree[SECTIONS[what]]
    if what == "load":
        return section[name]
    if what == "segment":
        circuit, number = name.split(" ")
        return _item(tree, "circuit", circuit)["cable"][int(number) - 1]
    return next(entry for entry in section if cable_name(entry) == name)


def _put(item: Any, what: str, column: str, text: str) -> None:
    if column == "return" and isinstance(item.get("return"), dict):
        item["return"]["to"] = editing.as_text(text)
        return
    holder = editing.set_at(item, KEYS[what][column].split("."), _value(column, text))
    if column in SIZES:
        holder.pop(CALCULATED, None)


def _value(column: str, text: str) -> Any:
    if column == LISTED and SEVERAL in text:
        return editing.flow_list([editing.as_text(part.strip()) for part in text.split(SEVERAL)])
    return editing.as_text(text) if column in NAMES else text


def _add(tree: Any, row: Row) -> None:
    """Add an item: loads and cables on one line, circuits over several."""
    if row.what == "segment":
        _put_all(_new_segment(tree, row), row)
        return
    item = editing.block() if row.what == "circuit" else editing.flow()
    if row.what == "circuit" or (row.what == "cable" and " to " not in row.name):
        item["id"] = editing.as_text(row.name)
    _put_all(item, row)
    if row.what == "load":
        if not isinstance(tree.get("loads"), dict):
            tree["loads"] = editing.block()
        tree["loads"][row.name] = item
    else:
        editing.section(tree, SECTIONS[row.what]).append(item)


def _put_all(item: Any, row: Row) -> None:
    for column in KEYS[row.what]:
        if column in row.cells:
            _put(item, row.what, column, row.cells[column])


def _new_segment(tree: Any, row: Row) -> Any:
    """Return the next segment of a circuit; a cable that the circuit states alone becomes the first one.

    Raises
    ------
    SystemFileError
        If the circuit is missing, or a segment before this one.
    """
    name, number = row.name.split(" ")
    circuit = next((entry for entry in tree.get("circuits") or () if entry.get("id") == name), None)
    if circuit is None:
        raise SystemFileError([Problem(row.at(IDENT), say("no_circuit", name=name))])
    stated = circuit.get("cable")
    if not isinstance(stated, list):
        circuit["cable"] = editing.flow_list([stated] if stated else [])
    if number == "1" and stated and not isinstance(stated, list):
        return circuit["cable"][0]
    if int(number) != len(circuit["cable"]) + 1:
        raise SystemFileError([Problem(row.at(IDENT), say("segment_gap", next=len(circuit["cable"]) + 1))])
    circuit["cable"].append(editing.flow())
    return circuit["cable"][-1]


def _places(plain: Any, wanted: Mapping[tuple[str, str], Row]) -> dict[str, Row]:
    """Return the rows by the path at which errors of the van file name them."""
    found = {f"loads.{name}": row for (what, name), row in wanted.items() if what == "load"}
    for what, section in (("circuit", "circuits"), ("cable", "cables")):
        for number, entry in enumerate(plain.get(section) or ()):
            row = wanted.get((what, cable_name(entry)))
            if row is not None:
                found[f"{section}[{number}]"] = row
    for number, entry in enumerate(plain.get("circuits") or ()):
        for step in range(len(entry["cable"]) if isinstance(entry.get("cable"), list) else 0):
            row = wanted.get(("segment", f"{entry.get('id')} {step + 1}"))
            if row is not None:
                found[f"circuits[{number}].cable[{step}]"] = row
    return found
