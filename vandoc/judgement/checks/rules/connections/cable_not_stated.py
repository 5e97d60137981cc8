"""The file states every cable of a circuit: to its switch, to its load, and on to the next load."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.model.chains import missing


@rule(review("cable-not-stated"))
def cable_not_stated(van: Van) -> Iterator[Breach]:
    """The file states every cable of a circuit: to its switch, to its load, and on to the next load."""
    for index, circuit in enumerate(van.system.circuits):
        trail = ("circuits", index, "cable")
        for start, end in missing(van.system, circuit):
            words = {"start": van.system.things[start].name, "end": van.system.things[end].name}
            yield Breach("cable-not-stated", circuit.id, trail, words, unknown=True)
