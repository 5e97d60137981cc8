"""The proof of a van's fault trees as text and as data."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from statistics import fmean
from typing import Any

from vandoc.analysis.diagnosis.field.field_proof import FieldProof, Group, Share
from vandoc.analysis.diagnosis.problem import READERS
from vandoc.analysis.diagnosis.proof import Proof, Walk
from vandoc.ground.figures import fixed
from vandoc.ground.messages import Messages

say = Messages("vandoc.analysis.diagnosis", "proof").say

WIDTHS = (23, 4, 21, 19, 6)  # within 80 columns


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


def data_of(proof: Proof, pairs: Sequence[Walk]) -> dict[str, Any]:
    """Return the proof of one van as data."""
    return {
        "faults": proof.faults,
        "silent": list(proof.silent),
        "lost": [_of(walk) for walk in proof.lost],
        "early": [_of(walk) for walk in proof.early],
        "pairs": {
            "runs": len(pairs),
            "found": sum(walk.found for walk in pairs),
            "handed_over": sum(walk.handed_over and not walk.found for walk in pairs),
        },
    }


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


def field_report(proof: FieldProof) -> str:
    """Return the report on one van in fresh worlds: two tables, the owner's line, and what is missed."""
    return "\n".join(_field_lines(proof))


def _field_lines(proof: FieldProof) -> Iterator[str]:
    groups = proof.groups("electrician")
    faulty, good = [one for one in groups if one.walks], [one for one in groups if one.good]
    misled = fixed(100 * proof.misled, 0)
    head = "field.misled" if proof.misled else "field.head"
    yield say(head, seed=proof.seed, misled=misled, walks=sum(len(one.walks) for one in faulty))
    yield _row(*(say(f"field.column.{name}") for name in ("symptom", "runs", "located", "wrong", "steps")))
    for one in faulty:
        steps = say("field.steps", mean=fixed(one.mean_steps, 1), longest=one.longest)
        yield _row(one.name, str(len(one.walks)), _share(one.located), _share(one.wrong), steps)
    if good:
        yield say("field.good", walks=sum(len(one.good) for one in good))
        yield _row(*(say(f"field.column.{name}") for name in ("symptom", "runs", "named")))
        for one in good:
            yield _row(one.name, str(len(one.good)), _share(one.false_finds))
    owner = [walk for one in proof.groups("owner") for walk in one.walks]
    if owner:
        yield say(
            "field.owner",
            walks=len(owner),
            steps=fixed(fmean(walk.steps for walk in owner), 1),
            longest=max(walk.steps for walk in owner),
            wrong=fixed(100 * fmean(walk.result == "wrong" for walk in owner), 1),
        )
    if proof.unsolved:
        yield say("field.unsolved", count=proof.unsolved)
    for missed in proof.missed():
        quantity = say(f"field.quantity.{missed.quantity.replace(' ', '_')}")
        value, limit = fixed(missed.value, 1), fixed(missed.limit, 0)
        yield say("field.missed", group=missed.group, quantity=quantity, value=value, limit=limit)
    if not proof.missed():
        yield say("field.passed")


def _row(*cells: str) -> str:
    return "  " + " ".join(cell.ljust(width) for cell, width in zip(cells, WIDTHS, strict=False)).rstrip()


def _share(share: Share) -> str:
    low, high = share.interval
    value, low_text, high_text = (fixed(100 * one, 1) for one in (share.value, low, high))
    return say("field.share", value=value, low=low_text, high=high_text)


def field_data(proof: FieldProof) -> dict[str, Any]:
    """Return the proof in fresh worlds as data: shares with their interval, 0 to 1."""
    return {
        "seed": proof.seed,
        "misled": proof.misled,
        "groups": [_group(one) for reader in READERS for one in proof.groups(reader)],
        "missed": [asdict(one) for one in proof.missed()],
    }


def _group(group: Group) -> dict[str, Any]:
    shares = {"false_finds": group.false_finds} if group.good else {}
    found: dict[str, Any] = {"symptom": group.name, "reader": group.reader}
    if group.walks:
        shares |= {"located": group.located, "wrong": group.wrong, "gave_up": group.gave_up}
        found |= {"mean_steps": group.mean_steps, "longest": group.longest}
    for name, share in shares.items():
        found[name] = {"runs": share.whole, "share": share.value, "interval": list(share.interval)}
    return found
