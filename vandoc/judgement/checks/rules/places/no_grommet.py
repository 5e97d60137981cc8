"""A cable that passes through metal has a grommet or cable gland."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("no-grommet", pieces.grommet))
def grommet(van: Van) -> Iterator[Breach]:
    """A cable that passes through metal has a grommet or cable gland."""
    for sized in van.sizing.conductors.values():
        conductor = sized.conductor
        if conductor.vehicle or conductor.role == "return" or conductor.metal == "grommet":
            continue
        unknown = conductor.metal is None
        places = [van.system.places[place] for place in conductor.places]
        if unknown and len({place.inside for place in places}) < 2:
            continue
        words = {"cable": conductor.id, "places": "', '".join(place.label for place in places)}
        yield Breach("no-grommet", van.subject(conductor), conductor.trail, words, unknown=unknown)
