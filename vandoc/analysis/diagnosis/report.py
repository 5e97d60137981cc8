"""The proof of a van's fault trees as text."""

from collections.abc import Iterator, Sequence
from statistics import fmean

from vandoc.analysis.diagnosis.problem import READERS
from vandoc.analysis.diagnosis.proof import Proof, Walk
from vandoc.ground.figures import fixed
from vandoc.ground.messages import Messages

say = Messages("vandoc.analysis.diagnosis", "proof").say


def report(file: str, proof: Proof, pairs: Sequence[Walk]) -> str:
    """Return the report on one van.

    Parameters
    ----------
    file : str
        The van file.
    proof : Proof
    pairs : sequence of Walk
        The walks with two faults at once.
    """
    return "\n".join(_lines(file, proof, pairs))


def _lines(file: str, proof: Proof, pairs: Sequence[Walk]) -> Iterator[str]:
    missed = {walk.faults[0] for walk in (*proof.lost, *proof.early)}
    shown = proof.faults - len(proof.silent)
    yield say("summary", file=file, found=shown - len(missed), faults=proof.faults, **_measures(proof.walks))
    for reader in READERS:
        walks = [walk for walk in proof.walks if walk.reader == reader]
        if walks:
            yield say("reader", reader=reader, walks=len(walks), **_measures(walks))
    for cause in proof.silent:
        yield say("silent", cause=cause)
    for walk in proof.lost:
        yield say("lost", **_of(walk))
    for walk in proof.early:
        yield say("early", **_of(walk))
    for causes, symptoms in proof.groups.items():
        yield say("group", symptoms=len(symptoms), causes=", ".join(causes))
    if pairs:
        found = sum(walk.found for walk in pairs)
        handed = sum(walk.handed_over and not walk.found for walk in pairs)
        third = len(pairs) - found - handed
        astray = sum(walk.astray and not walk.found for walk in pairs)
        yield say("pairs", walks=len(pairs), found=found, handed=handed, third=third, astray=astray)


def _measures(walks: Sequence[Walk]) -> dict[str, object]:
    if not walks:
        return {"steps": 0, "minutes": 0, "longest": 0, "left": 0}
    return {
        "steps": fixed(fmean(len(walk.steps) for walk in walks), 1),
        "minutes": fixed(fmean(walk.effort for walk in walks), 0),
        "longest": max(len(walk.steps) for walk in walks),
        "left": fixed(fmean(len(walk.left) for walk in walks), 1),
    }


def _of(walk: Walk) -> dict[str, object]:
    return {
        "cause": walk.faults[0],
        "symptom": walk.symptom,
        "reader": walk.reader,
        "left": ", ".join(cause.id for cause in walk.left) or say("nothing"),
        "steps": "; ".join(f"{question}: {answer}" for question, answer in walk.steps),
    }
