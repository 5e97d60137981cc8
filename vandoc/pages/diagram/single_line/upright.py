"""The overview for a phone: the main bar upright, and a line for each way from it to a source or to loads."""

from collections.abc import Iterator

from vandoc.pages.diagram.single_line.drawing import Box, Drawing, Line, Symbol, Words
from vandoc.pages.diagram.single_line.growing import Tree
from vandoc.pages.diagram.single_line.pen import ident_of, line_width
from vandoc.pages.diagram.single_line.stations import Part, Station
from vandoc.pages.diagram.single_line.wording import named
from vandoc.pages.diagram.svg import wrap

WIDTH = 340.0  # [px] a narrow phone without its margins
BAR = 10.0
SIDE = 32.0  # of a symbol
PITCH = 52.0
TEXT = 15.5
TOP = 20.0
GAP = 12.0


def upright(tree: Tree) -> Drawing:
    """Return the drawing of what is connected to the root of a tree, sources first."""
    made = Drawing()
    y = 0.0
    levels: list[float] = []
    for word in wrap(named(tree.root), 13.0, WIDTH, 2, bold=True):
        made.words.append(Words(word, BAR, y + TEXT / 2, "mark", "start", bold=True))
        y += TEXT
    top = y + 4
    y += GAP
    for station in (*tree.left, *tree.right):
        chain = list(_chain(station))
        level = y + TOP + SIDE / 2
        levels.append(level)
        _draw(made, tree.root, chain, level)
        y = level + SIDE / 2 + 3
        for line in wrap(_told(chain), 13.0, WIDTH - 42, 3):
            made.words.append(Words(line, 42.0, y + TEXT / 2, "zone", "start"))
            y += TEXT
        y += GAP
    end = max([top + SIDE, *(level + SIDE / 2 for level in levels)])
    bar = Box(BAR - 3.5, top, BAR + 3.5, end)
    made.symbols.insert(
        0, Symbol(ident_of(tree.root), "busbar", bar, tree.root.href, named(tree.root), again=True)
    )
    return made


def _chain(station: Station) -> Iterator[Station]:
    """Yield a station and the first one behind each, up to a bar or a last part."""
    yield station
    if not station.part.is_bar and station.children:
        yield from _chain(station.children[0])


def _draw(made: Drawing, root: Part, chain: list[Station], level: float) -> None:
    shown = chain if len(chain) <= 6 else [*chain[:5], chain[-1]]
    x, before = BAR + 3.5, ident_of(root)
    pitch = min(PITCH, (WIDTH - 42 - SIDE) / max(len(shown) - 1, 1))
    for number, station in enumerate(shown):
        left = 42 + number * pitch
        ident = ident_of(station.part)
        kind = "board" if station.part.is_bar else station.part.symbol
        box = Box(left, level - SIDE / 2, left + SIDE, level + SIDE / 2)
        points = ((x, level), (left + 5, level))
        made.lines.append(Line((), before, ident, points, "+", line_width(station.cable), again=True))
        made.symbols.append(Symbol(ident, kind, box, station.part.href, named(station.part), again=True))
        if station.part.fuse and station.part.facts:
            rating = station.part.facts[0].partition(",")[0]
            made.words.append(Words(rating, left + SIDE / 2, level - SIDE / 2 - TEXT / 2 + 4, "zone"))
        x, before = left + SIDE - 5, ident


def _told(chain: list[Station]) -> str:
    """Return the names of what is no fuse or switch, the last with what its sheet shows."""
    shown = [station.part for station in chain if not station.part.fuse or station is chain[-1]]
    told = [named(part) for part in shown if part.name]
    last = chain[-1].part
    return " · ".join([*told, *(last.facts[1:2] if last.is_bar else ())])
