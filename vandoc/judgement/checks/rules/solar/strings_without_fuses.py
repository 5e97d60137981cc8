"""Each of three or more strings in parallel has a fuse."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.solar import plants, words_of
from vandoc.physics.network.graph import Conductor, FuseLink


@rule(review("strings-without-fuses"))
def strings(van: Van) -> Iterator[Breach]:
    """Each of three or more strings in parallel has a fuse."""
    most = constant("strings without fuses")
    for plant in plants(van):
        count = fsum(array.parallel for array in plant.arrays.values())
        bare = [name for name, array in plant.arrays.items() if array.parallel > 1 or not _fused(van, name)]
        if count > most.value and bare:
            words = words_of(van, plant)
            found, limit = Amount(count), Amount(most.value)
            yield Breach(
                "strings-without-fuses", plant.ident, van.trail(plant.ident), words, found, limit, (most,)
            )


def _fused(van: Van, ident: str) -> bool:
    """Whether a fuse follows the positive of an array before any other connection."""
    node, seen = f"{ident}.+", set()
    while True:
        edges = [edge for edge in van.network.at(node) if edge.id not in seen]
        if len(edges) != 1:
            return False
        if isinstance(edges[0], FuseLink):
            return True
        if not isinstance(edges[0], Conductor):
            return False
        seen.add(edges[0].id)
        node = edges[0].end if edges[0].start == node else edges[0].start
