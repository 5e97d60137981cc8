"""The file states every cable of a circuit: to its switch, to its load, and on to the next load."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.model.chains import unstated


@rule(review("cable-not-stated"))
def cable_not_stated(van: Van) -> Iterator[Breach]:
    """The file states every cable of a circuit: to its switch, to its load, and on to the next load."""
    for index, circuit in enumerate(van.system.circuits):
        trail = ("circuits", index, "cable")
        for start, end in unstated(circuit):
            ends = van.system.things[start], van.system.things[end]
            if start in circuit.loads and ends[0].place == ends[1].place:
                continue  # devices side by side can share their terminals
            words = {"start": ends[0].name, "end": ends[1].name}
            yield Breach("cable-not-stated", circuit.id, trail, words, unknown=True)
