"""The tree of a sheet: from a bar outward to sources and loads. What closes a ring is noted at both ends."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from vandoc.pages.diagram.single_line.reading import Join, Wiring
from vandoc.pages.diagram.single_line.stations import Cable, Part, Station

_ORDER = {"mains": 0, "charger": 0, "solar": 1, "alternator": 2, "converter": 3, "battery": 4}


@dataclass(frozen=True)
class Tree:
    """A bar, or another part where the wiring meets, with what feeds it on the left and what it feeds."""

    root: Part
    left: tuple[Station, ...]
    right: tuple[Station, ...]

    def with_parts(self, parts: Mapping[str, Part]) -> "Tree":
        """Return the tree with other parts in place of some, by the ids of these."""

        def changed(station: Station) -> Station:
            part = parts.get(station.part.id, station.part)
            return Station(part, station.cable, [changed(child) for child in station.children], station.row)

        root = parts.get(self.root.id, self.root)
        return Tree(root, tuple(map(changed, self.left)), tuple(map(changed, self.right)))

    def without_rows(self, boards: Collection[str]) -> "Tree":
        """Return the tree without the rows of some boards, which have a sheet of their own."""

        def kept(station: Station) -> Station:
            folded = station.part.id in boards
            children = [kept(child) for child in station.children if not (folded and child.row)]
            return Station(station.part, station.cable, children, station.row)

        folded = self.root.id in boards
        right = tuple(kept(station) for station in self.right if not (folded and station.row))
        return Tree(self.root, tuple(map(kept, self.left)), right)

    @property
    def parts(self) -> list[Part]:
        """All its parts, the root first."""
        return [self.root, *(one.part for station in (*self.left, *self.right) for one in station.all())]

    @property
    def ids(self) -> set[str]:
        """Ids of all its parts."""
        return {part.id for part in self.parts}


def supply_trees(wiring: Wiring, keep: Collection[str], first: str | None = None) -> list[Tree]:
    """Return trees that hold each of some parts of the supply side, and each cable between them, once.

    Parameters
    ----------
    wiring : Wiring
    keep : collection of str
        Ids of the parts.
    first : str, optional
        Root of the first tree; by default the bar with most cables that are no circuit.
    """
    inside = [
        Join(board, fuse, Cable())
        for board, fuses in wiring.positions.items()
        for fuse in fuses
        if board in keep and fuse in keep
    ]
    return _Forest(wiring, [*_within(wiring.supplies, keep), *inside], _within(wiring.signals, keep)).grown(
        first
    )


def return_trees(wiring: Wiring, keep: Collection[str] | None = None) -> list[Tree]:
    """Return the trees of the returns drawn in full: between bars, shunt, earth and batteries."""
    returns = wiring.returns if keep is None else _within(wiring.returns, keep)
    return _Forest(wiring, returns, []).grown(None)


def _within(joins: Iterable[Join], keep: Collection[str]) -> list[Join]:
    return [join for join in joins if join.start in keep and join.end in keep]


class _Forest:
    """Parts and the cables between them; signals lead to a part only where nothing else does."""

    def __init__(self, wiring: Wiring, joins: list[Join], signals: list[Join]) -> None:
        self.wiring = wiring
        self.around: dict[str, list[Join]] = {}
        for join in (*joins, *signals):
            self.around.setdefault(join.start, []).append(join)
            self.around.setdefault(join.end, []).append(join)

    def grown(self, first: str | None) -> list[Tree]:
        made: list[Tree] = []
        left = dict.fromkeys(self.around)
        while left:
            root = first if first is not None and first in left else max(left, key=self._worth)
            tree = self._grow(root)
            made.append(tree)
            left = {ident: None for ident in left if ident not in tree.ids}
        return made

    def _worth(self, ident: str) -> tuple[bool, int]:
        """Return how much a part suits as a root: a bar with most cables that are no circuit."""
        part = self.wiring.parts[ident]
        conductors = self.wiring.network.conductors
        at = [ident, *self.wiring.positions.get(ident, ())]
        cables = [join.cable for one in at for join in self.around.get(one, ())]
        return part.is_bar, sum(bool(c.edges) and conductors[c.edges[0]].circuit is None for c in cables)

    def _grow(self, root: str) -> Tree:
        stations = {root: Station(self.wiring.parts[root], Cable())}
        loops: list[Join] = []
        used: set[int] = set()
        signals = [join for joins in self.around.values() for join in joins if join.cable.sign == "signal"]
        used |= {id(join) for join in signals}
        todo = [root]

        def follow(ident: str, join: Join) -> None:
            used.add(id(join))
            other = join.other(ident)
            if other in stations:
                loops.append(join)
                return
            stations[other] = Station(self.wiring.parts[other], join.cable)
            stations[ident].children.append(stations[other])
            todo.append(other)

        while todo:
            ident = todo.pop(0)
            for join in self.around[ident]:
                if id(join) not in used:
                    follow(ident, join)
            if not todo:  # signals come last
                near = next((one for one in signals if one.start in stations or one.end in stations), None)
                if near is not None:
                    signals = [one for one in signals if one is not near]
                    follow(near.start if near.start in stations else near.end, near)
                    todo = todo or [root]
        return self._tree(stations, root, loops)

    def _tree(self, stations: dict[str, Station], root: str, loops: list[Join]) -> Tree:
        wiring = self.wiring
        for loop in loops:
            for ident, note in zip((loop.start, loop.end), wiring.references(loop), strict=True):
                part = stations[ident].part
                stations[ident].part = replace(part, notes=(*part.notes, note))
        _shorten(stations[root], wiring)
        children = stations[root].children
        feeding = {id(child): _feeds(child, wiring) for child in children}
        left = [child for child in children if feeding[id(child)] is not None]
        left.sort(key=lambda child: feeding[id(child)] or 0)
        right = [child for child in children if feeding[id(child)] is None]
        right.sort(key=lambda child: (child.row, _bars(child)))
        return Tree(stations[root].part, tuple(left), tuple(right))


def _feeds(station: Station, wiring: Wiring) -> int | None:
    """Return the rank of what feeds a bar through a station; None if nothing does, or loads hang there."""
    ranks = []
    for one in station.all():
        if one.part.id in wiring.system.loads or wiring.positions.get(one.part.id):
            return None
        for source in wiring.network.sources:
            if source.owner == one.part.id:
                ranks.append(
                    _ORDER[source.charges_from or source.kind] + 10 * (one.part.id in wiring.system.leisure)
                )
    return min(ranks) if ranks else None


def _bars(station: Station) -> int:
    return sum(one.part.is_bar for one in station.all())


def _shorten(root: Station, wiring: Wiring) -> None:
    """Make each position of a board a row if only loads and small consumers are behind it."""
    for station in root.all():
        for child in station.children:
            if child.part.id in wiring.positions.get(station.part.id, ()):
                child.row = all(_is_small(one.part, wiring) for one in child.all())


def _is_small(part: Part, wiring: Wiring) -> bool:
    if part.is_bar or part.id in wiring.system.leisure:
        return False
    sources = {source.owner for source in wiring.network.sources}
    converting = part.symbol in ("dc-dc", "ac-dc", "inverter")
    return part.id not in sources and not converting
