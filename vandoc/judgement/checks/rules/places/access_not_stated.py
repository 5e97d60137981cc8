"""The file states the access to every fuse and isolator."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule


@rule(review("access-not-stated"))
def access(van: Van) -> Iterator[Breach]:
    """The file states the access to every fuse and isolator."""
    reported = set()
    for piece in van.system.equipment.values():
        place = van.system.places[piece.place]
        if piece.needs_access and not place.access and piece.place not in reported:
            reported.add(piece.place)
            words = {"name": piece.name, "place": place.label}
            yield Breach("access-not-stated", piece.place, ("places", piece.place), words)
