"""A sheet of the diagram in words: a sentence for each part, each cable and each return."""

from collections.abc import Iterator, Sequence

from vandoc.pages.diagram.single_line.growing import Tree
from vandoc.pages.diagram.single_line.reading import Wiring
from vandoc.pages.diagram.single_line.stations import Part, Station
from vandoc.pages.diagram.single_line.wording import named
from vandoc.pages.diagram.svg import clean
from vandoc.pages.diagram.words import say

_KEYS = {"+": "sheet.wire_plus", "-": "sheet.wire_minus", "signal": "sheet.wire_signal"}


def told(wiring: Wiring, trees: Sequence[Tree]) -> tuple[str, ...]:
    """Return the sentences: the parts of all trees first, then the cables from each to the next."""
    parts = {part.id: part for tree in trees for part in tree.parts}
    lines = [_part(wiring, part) for part in parts.values()]
    for tree in trees:
        for station in (*tree.left, *tree.right):
            lines += _cables(tree.root, station)
    for part in parts.values():
        for note in part.notes:
            facts = ", ".join(map(clean, note.facts)) or say("sheet.direct")
            if note.kind in ("bar", "frame"):
                lines.append(say("sheet.wire_minus", start=_name(part), end=clean(note.to), facts=facts))
            elif note.edges:
                lines.append(say("sheet.beside", name=_name(part), to=clean(note.to), facts=facts))
    return tuple(lines)


def _name(part: Part) -> str:
    return clean(named(part))


def _part(wiring: Wiring, part: Part) -> str:
    place = wiring.system.places[part.place].label if part.place else ""
    facts = ", ".join(clean(fact) for fact in (*part.facts, place) if fact)
    return say("sheet.part", name=_name(part), facts=facts) if facts else _name(part)


def _cables(parent: Part, station: Station) -> Iterator[str]:
    cable = station.cable
    facts = clean(", ".join(filter(None, (cable.label, cable.measure)))) or say("sheet.direct")
    yield say(_KEYS[cable.sign], start=_name(parent), end=_name(station.part), facts=facts)
    for child in station.children:
        yield from _cables(station.part, child)
