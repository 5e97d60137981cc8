"""Which sheets a van has, and what is on each."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from vandoc.analysis import Van
from vandoc.model.piece import Sizable
from vandoc.pages.diagram.single_line.dot import dot_text
from vandoc.pages.diagram.single_line.drawing import Drawing
from vandoc.pages.diagram.single_line.frame import Frame, framed
from vandoc.pages.diagram.single_line.growing import Tree, return_trees, supply_trees
from vandoc.pages.diagram.single_line.placing import placed
from vandoc.pages.diagram.single_line.reading import Href, Wiring
from vandoc.pages.diagram.single_line.stations import Station
from vandoc.pages.diagram.single_line.telling import told
from vandoc.pages.diagram.single_line.upright import WIDTH as UPRIGHT
from vandoc.pages.diagram.single_line.upright import upright
from vandoc.pages.diagram.words import say

MARGIN = 18.0  # [px] around what a sheet shows
WIDTH, HEIGHT = 1780.0, 1230.0  # of an overview at most: its capitals are then 1.8 mm high on A3


@dataclass(frozen=True)
class Sheet:
    """One drawing.

    Attributes
    ----------
    ident : str
        Its name in pages.
    title : str
    drawing : Drawing
        All of it with its positions.
    dot : str
        The same as DOT text.
    text_lines : tuple of str
        The same in words.
    frame : Frame or None
        What is drawn around it.
    """

    ident: str
    title: str
    drawing: Drawing
    dot: str
    text_lines: tuple[str, ...]
    frame: Frame | None = None

    @property
    def repeats(self) -> bool:
        """Whether earlier sheets show every fuse and every conductor of it."""
        shown = [line.again for line in self.drawing.lines if line.edges]
        shown += [symbol.again for symbol in self.drawing.symbols if symbol.fuse]
        return bool(shown) and all(shown)


def sheets(van: Van, href_for: Href) -> list[Sheet]:
    """Return the overview, on as many sheets as it needs, then one for each fuse board, then for each place.

    Parameters
    ----------
    href_for : callable
        Returns the page of an item of equipment or a load, by its id in the van file, or None.
    """
    wiring = Wiring(van, href_for)
    shown: set[str] = set()
    made: list[Sheet] = []
    for plan in _plans(wiring):
        if not plan.drawing.symbols:
            continue
        drawing = _marked(plan.drawing, shown, wiring, plan.ident.startswith("overview"))
        frame = None
        if plan.ident.startswith("overview"):
            frame, drawing = framed(drawing, wiring)
            width, height = frame.width, frame.height
        else:
            box = drawing.box
            width, height = box.x1 - box.x0 + 2 * MARGIN, box.y1 - box.y0 + 2 * MARGIN
            drawing = drawing.moved(MARGIN - box.x0, MARGIN - box.y0)
        lines = list(plan.lines)
        if _has_proposals(drawing, wiring):
            lines.append(say("sheet.proposed"))
        dot = dot_text(plan.ident, drawing, width, height)
        made.append(Sheet(plan.ident, plan.title, drawing, dot, tuple(lines), frame))
    return made


@dataclass(frozen=True)
class _Plan:
    ident: str
    title: str
    drawing: Drawing
    lines: tuple[str, ...]


def _plans(wiring: Wiring) -> Iterator[_Plan]:
    yield from _overviews(wiring)
    for board in wiring.positions:
        yield _board(wiring, board)
    for place in wiring.system.places:
        if any(part.place == place for part in wiring.equipment()):
            yield _place(wiring, place)


def _overviews(wiring: Wiring) -> Iterator[_Plan]:
    """Yield the overview: one sheet that can be read on A3, if need be without large boards, or several."""
    supply, back = supply_trees(wiring, set(wiring.parts) - wiring.back), return_trees(wiring)
    lines = told(wiring, [*supply, *back])
    boards = sorted(wiring.positions, key=lambda board: len(wiring.positions[board]))
    folded: set[str] = set()
    while True:
        shown = [tree.without_rows(folded) for tree in supply]
        drawing = placed(wiring, shown, back, tinted=True)
        if not boards or _fits(drawing, wiring):
            break
        folded.add(boards.pop())
    sheets = [drawing] if _fits(drawing, wiring) else _divided(wiring, shown, back)
    for number, one in enumerate(sheets, 1):
        first = number == 1
        ident = "overview" if first else f"overview-{number}"
        title = say("sheet.overview") if first else say("sheet.overview_further", number=number)
        yield _Plan(ident, title, one, lines if first else ())


def phone_sheet(van: Van, href_for: Href) -> Sheet:
    """Return the overview for a phone: the main bar and what is connected to it."""
    wiring = Wiring(van, href_for)
    supply = supply_trees(wiring, set(wiring.parts) - wiring.back)
    drawing = upright(supply[0])
    box = drawing.box
    width, height = max(box.x1 - box.x0, UPRIGHT) + 8, box.y1 - box.y0 + 8
    drawing = drawing.moved(4 - box.x0, 4 - box.y0)
    dot = dot_text("upright", drawing, width, height)
    return Sheet("upright", say("sheet.overview"), drawing, dot, ())


def _fits(drawing: Drawing, wiring: Wiring) -> bool:
    frame, _ = framed(drawing, wiring)
    return frame.width <= WIDTH and frame.height <= HEIGHT


def _divided(wiring: Wiring, supply: Sequence[Tree], back: Sequence[Tree]) -> list[Drawing]:
    """Return the fewest sheets that can be read on A3, each with some of what is connected to the main bar.

    A sheet with only one chain on either side of the bar is not divided further.
    """
    main, others = supply[0], supply[1:]
    most = max(len(main.left), len(main.right), 1)
    for count in range(2, most + 1):
        parts = [
            Tree(main.root, _share(main.left, number, count), _share(main.right, number, count))
            for number in range(count)
        ]
        made = [placed(wiring, [part], [], tinted=True) for part in parts]
        if count == most or all(_fits(one, wiring) for one in made):
            break
    else:
        made = [placed(wiring, [main], [], tinted=True)]
    rest = [placed(wiring, [tree], [], tinted=True) for tree in others]
    return [*made, *rest, *([placed(wiring, [], back, tinted=True)] if back else [])]


def _share(stations: Sequence[Station], number: int, count: int) -> tuple[Station, ...]:
    size = -(-len(stations) // count)
    return tuple(stations[number * size : (number + 1) * size])


def _board(wiring: Wiring, board: str) -> _Plan:
    keep = {board, *wiring.positions[board]}
    keep |= _neighbours(wiring, keep)
    for circuit in wiring.system.circuits:
        if circuit.fuse.board == board:
            keep |= wiring.on_circuit(circuit)
    trees = [_fed(tree, wiring.positions[board]) for tree in supply_trees(wiring, keep, board)]
    feed = {one.part.id for tree in trees for station in tree.left for one in station.all()}
    trees = [_away(wiring, tree, feed) for tree in trees]
    drawing = placed(wiring, trees, [], detailed=True)
    title = say("sheet.board", board=wiring.parts[board].name)
    return _Plan(f"board-{board}", title, drawing, told(wiring, trees))


def _fed(tree: Tree, positions: Sequence[str]) -> Tree:
    """Return the tree of a board with its positions on the right, and all else on the left."""
    stations = (*tree.left, *tree.right)
    own = tuple(station for station in stations if station.part.id in positions)
    for station in own:  # a row cannot show branches
        station.row = station.row and all(len(one.children) < 2 for one in station.all())
    order = {ident: number for number, ident in enumerate(positions)}
    root = replace(tree.root, facts=tree.root.facts[:1])  # not the reference to this sheet
    return Tree(
        root,
        tuple(station for station in stations if station not in own),
        tuple(sorted(own, key=lambda station: order[station.part.id])),
    )


def _place(wiring: Wiring, place: str) -> _Plan:
    here = {part.id for part in wiring.parts.values() if part.place == place}
    for circuit in wiring.system.circuits:
        here -= {wiring.position_of(circuit), *wiring.on_circuit(circuit)} - _cabled(wiring)
    near = _neighbours(wiring, here)
    supply = [_away(wiring, tree, near) for tree in supply_trees(wiring, (here | near) - wiring.back)]
    back = [_away(wiring, tree, near) for tree in return_trees(wiring, here | near)]
    title = say("sheet.place", place=wiring.system.places[place].label)
    drawing = placed(wiring, supply, back)
    return _Plan(f"place-{place}", title, drawing, told(wiring, [*supply, *back]))


def _cabled(wiring: Wiring) -> set[str]:
    return {end for join in wiring.supplies if not join.on_circuit for end in (join.start, join.end)}


def _neighbours(wiring: Wiring, parts: set[str]) -> set[str]:
    """Return the parts at the far ends of cables that are no circuit."""
    joins = [join for join in (*wiring.supplies, *wiring.signals, *wiring.returns) if not join.on_circuit]
    ends = [(join.start, join.end) for join in joins]
    return {b for a, b in (*ends, *((b, a) for a, b in ends)) if a in parts and b not in parts}


def _away(wiring: Wiring, tree: Tree, near: set[str]) -> Tree:
    """Return the tree with the parts at its edge as seen from afar."""
    return tree.with_parts({part.id: wiring.from_afar(part) for part in tree.parts if part.id in near})


def _has_proposals(drawing: Drawing, wiring: Wiring) -> bool:
    """Return whether a size on a sheet was proposed."""
    sizing = wiring.sizing
    cables = (sizing.conductors[edge].proposed for line in drawing.lines for edge in line.edges)
    fuses = (sizing.fuses[symbol.fuse].proposed for symbol in drawing.symbols if symbol.fuse)
    drawn = {symbol.id for symbol in drawing.symbols}
    items = wiring.system.equipment.items()
    sized = (f"part-{i}" in drawn and piece.proposed for i, piece in items if isinstance(piece, Sizable))
    return any(cables) or any(fuses) or any(sized)


def _marked(drawing: Drawing, shown: set[str], wiring: Wiring, overview: bool) -> Drawing:
    """Return a drawing in which all that an earlier sheet shows is marked as shown again.

    The circuits count as shown by the sheets of their boards, which have all of each.
    """
    conductors = wiring.network.conductors

    def again(ids: tuple[str, ...]) -> bool:
        circuit = overview and any(conductors[one].circuit is not None for one in ids)
        return circuit or bool(ids and set(ids) <= shown)

    lines = [replace(line, again=again(line.edges)) for line in drawing.lines]
    symbols = [replace(one, again=bool(one.fuse) and one.fuse in shown) for one in drawing.symbols]
    for line in lines:
        shown.update(() if line.again else line.edges)
    shown.update(one.fuse for one in symbols if one.fuse)
    return replace(drawing, lines=lines, symbols=symbols)
