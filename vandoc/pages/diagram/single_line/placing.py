"""The trees of a sheet put together: supply above, returns below, and places as tinted areas."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from vandoc.pages.diagram.single_line.arranging import arranged
from vandoc.pages.diagram.single_line.drawing import Area, Box, Drawing, Words
from vandoc.pages.diagram.single_line.growing import Tree
from vandoc.pages.diagram.single_line.reading import Wiring
from vandoc.pages.diagram.single_line.stations import Part
from vandoc.pages.diagram.svg import clean

APART = 14.0  # [px] between trees
AROUND = 6.0  # of a tinted area around its parts
CAPTION = 17.0


def placed(
    wiring: Wiring,
    supply: Sequence[Tree],
    back: Sequence[Tree],
    *,
    tinted: bool = False,
    detailed: bool = False,
) -> Drawing:
    """Return the drawing of some trees.

    Parameters
    ----------
    wiring : Wiring
    supply, back : sequence of Tree
        Of the supply and of the returns.
    tinted : bool
        Whether parts of one place that lie together are on a tinted area with its letter and its name. The
        letter of its place stands beside any other part.
    detailed : bool
        Whether rows show every part with its name and its return.
    """
    letter = letters(wiring)
    codes = {part.id: letter[part.place] for part in wiring.parts.values() if part.place}
    drawing = _together(wiring, supply, back, codes, detailed)
    if tinted:
        inside = {ident for area in _areas(drawing, wiring) for ident in area.parts}
        outside = {ident: code for ident, code in codes.items() if f"part-{ident}" not in inside}
        smaller = _together(wiring, supply, back, outside, detailed)
        areas = _areas(smaller, wiring)
        if inside <= {ident for area in areas for ident in area.parts}:
            drawing = smaller
        drawing.areas += _areas(drawing, wiring)
    return drawing


def letters(wiring: Wiring) -> dict[str, str]:
    """Return the letter of each place, with the sign of the location aspect (IEC 81346-1)."""
    return {place: f"+{_letter(number)}" for number, place in enumerate(wiring.system.places)}


def _letter(number: int) -> str:
    alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # without I and O, as in designations
    head, tail = divmod(number, len(alphabet))
    return (_letter(head - 1) if head else "") + alphabet[tail]


def _together(
    wiring: Wiring, supply: Sequence[Tree], back: Sequence[Tree], codes: Mapping[str, str], detailed: bool
) -> Drawing:
    whole = Drawing()
    for tree in supply:
        _under(whole, arranged(tree, codes, detailed))
    for tree in back:
        _add_returns(whole, tree, wiring, codes)
    return whole


def _under(whole: Drawing, more: Drawing, x: float | None = None) -> None:
    """Put a drawing below another, as high as it stays below all that it stands under.

    Without an x both have their left edges in line.
    """
    if not whole.symbols:
        whole.add([more])
        return
    dx = whole.box.x0 - more.box.x0 if x is None else x
    taken = list(boxes_of(whole))
    dy = whole.box.y0 - more.box.y0
    for box in boxes_of(more):
        x0, x1 = box.x0 + dx - APART, box.x1 + dx + APART
        dy = max([dy, *(other.y1 + APART - box.y0 for other in taken if other.x0 < x1 and x0 < other.x1)])
    whole.add([more.moved(dx, dy)])


def boxes_of(drawing: Drawing) -> Iterator[Box]:
    """Yield the extent of each symbol, each text and each run of a line."""
    yield from (symbol.box for symbol in drawing.symbols)
    yield from (words.box for words in drawing.words)
    for line in drawing.lines:
        for (x0, y0), (x1, y1) in pairwise(line.points):
            yield Box(min(x0, x1) - 1, min(y0, y1) - 1, max(x0, x1) + 1, max(y0, y1) + 1)


def _add_returns(whole: Drawing, tree: Tree, wiring: Wiring, codes: Mapping[str, str]) -> None:
    """Draw returns below the supply; the battery lowest on the sheet is joined to them by a line."""
    drawn = {symbol.id: symbol.box for symbol in whole.symbols}
    banks = [ident for ident in sorted(tree.ids) if ident in wiring.system.leisure]
    here = [ident for ident in banks if f"part-{ident}" in drawn and ident != tree.root.id]
    lowest = max(here, key=lambda ident: drawn[f"part-{ident}"].y1, default=None)
    tree = tree.with_parts(
        {
            ident: Part(f"minus-{ident}", "corner", "", "" if ident == lowest else f"{wiring.name(ident)} −")
            for ident in banks
        }
    )
    made = arranged(tree, codes)
    corner = next((symbol for symbol in made.symbols if symbol.id == f"part-minus-{lowest}"), None)
    if corner is None:
        _under(whole, made)
        return
    battery = drawn[f"part-{lowest}"]
    x = (battery.x0 + battery.x1) / 2
    _under(whole, made, x - (corner.box.x0 + corner.box.x1) / 2)
    for n, line in enumerate(whole.lines):
        if line.end == corner.id:
            whole.lines[n] = replace(line, end=f"part-{lowest}", points=(*line.points, (x, battery.y1)))
    whole.symbols[:] = [symbol for symbol in whole.symbols if symbol.id != corner.id]


def _areas(drawing: Drawing, wiring: Wiring) -> list[Area]:
    """Return an area around each group of connected parts of one place, if nothing else lies in it."""
    letter = letters(wiring)
    placed_symbols = [symbol for symbol in drawing.symbols if symbol.place is not None]
    obstacles = list(boxes_of(drawing))
    made: list[Area] = []
    for place, own in _groups(drawing):
        boxes = [symbol.box for symbol in placed_symbols if symbol.id in own]
        boxes += [words.box for words in drawing.words if words.of in own]
        whole = boxes[0]
        for box in boxes:
            whole = whole.around(box)
        whole = whole.grown(AROUND)
        label = f"{letter[place]}  {clean(wiring.system.places[place].label)}"
        caption = Words(label, whole.x0 + 7, whole.y0 - CAPTION / 2 + 2, "zone", "start")
        if caption.box.x1 > whole.x1 - 4:
            caption = replace(caption, text=letter[place])
        whole = Box(whole.x0, whole.y0 - CAPTION, whole.x1, whole.y1)
        others = [symbol.box for symbol in placed_symbols if symbol.id not in own]
        others += [words.box for words in drawing.words if words.of and words.of not in own]
        others += [area.box for area in made]
        free = not any(caption.box.meets(box) for box in obstacles)
        if free and not any(whole.meets(box) for box in others):
            made.append(Area(place, caption, whole, frozenset(own)))
    return made


def _groups(drawing: Drawing) -> Iterator[tuple[str, set[str]]]:
    """Yield the symbols of one place that are connected with each other, by their ids."""
    place = {symbol.id: symbol.place for symbol in drawing.symbols if symbol.place is not None}
    near: dict[str, set[str]] = {ident: set() for ident in place}
    for line in drawing.lines:
        if place.get(line.start) is not None and place.get(line.start) == place.get(line.end):
            near[line.start].add(line.end)
            near[line.end].add(line.start)
    left = dict.fromkeys(place)
    while left:
        first = next(iter(left))
        group, todo = {first}, [first]
        while todo:
            for other in near[todo.pop()] - group:
                group.add(other)
                todo.append(other)
        left = {ident: None for ident in left if ident not in group}
        yield str(place[first]), group
