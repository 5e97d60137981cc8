"""The proof in fresh worlds: not those that trees are made from, counted honestly, and able to fail."""

import pytest

from vandoc.analysis.diagnosis.field.field_proof import FieldProof, FieldWalk, Share, group_of
from vandoc.analysis.diagnosis.field.field_prover import FieldProver, seed_of
from vandoc.analysis.diagnosis.problem import READERS, Cause, EndNode
from vandoc.ground.calc.shares import share_interval

FEW = 4


def cause(kind: str, part: str, weight: float = 1.0) -> Cause:
    return Cause(f"{kind} {part}", kind, part, weight)


@pytest.fixture(scope="module")
def prover(diagnoses) -> FieldProver:
    return FieldProver(diagnoses["wren"], 11)


@pytest.fixture(scope="module")
def proof(prover) -> FieldProof:
    return prover.prove(FEW)


@pytest.mark.parametrize(
    ("part", "whole", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_intervals_are_those_published(part, whole, low, high):
    """Newcombe, R. G., Statistics in Medicine 17 (1998), table I, score method; from memory."""
    assert share_interval(part, whole) == pytest.approx((low, high), abs=6e-5)


def test_a_seed_gives_the_same_walks_and_another_gives_others(diagnoses, proof):
    assert FieldProver(diagnoses["wren"], 11).prove(FEW) == proof
    assert FieldProver(diagnoses["wren"], 12).prove(FEW).walks != proof.walks
    assert len({seed_of(str(number)) for number in range(1000)}) == 1000


def test_every_symptom_is_walked_by_both_readers_with_a_fault_and_without(prover, proof):
    for case in prover.cases:
        own = [walk for walk in proof.walks if walk.symptom == case.symptom.id]
        assert {walk.reader for walk in own} == set(READERS)
        assert sum(walk.cause is not None for walk in own) == 2 * FEW, case.symptom.id
    assert {group_of(walk.symptom) for walk in proof.walks} == {one.name for one in proof.groups("owner")}
    assert proof.unsolved <= len(proof.walks) / 100


def test_all_dead_and_stopped_of_a_van_are_located_in_most_worlds(proof):
    """What trees reach at least; their limits are the command's and the benchmark's."""
    groups = {one.name: one for one in proof.groups("electrician")}
    assert groups["stopped"].located.value > 0.8
    assert groups["still-on"].located.value > 0.8
    assert groups["stopped"].false_finds.part == 0


def test_trees_that_name_a_good_part_are_caught(diagnoses):
    prover = FieldProver(diagnoses["wren"], 11)
    for case in prover.cases:
        for reader in READERS:
            prover.trees[case.symptom.id, reader] = EndNode((cause("dead", "nothing in this van"),))
    proof = prover.prove(10)
    assert all(walk.result == "wrong" for walk in proof.walks)
    missed = {(one.group, one.quantity) for one in proof.missed()}
    for group in proof.groups("electrician"):
        assert {(group.name, "located"), (group.name, "wrong")} <= missed
        assert (group.name, "false find") in missed or not group.good


def test_first_questions_answered_wrongly_lead_astray_more_often(diagnoses, proof):
    misled = FieldProver(diagnoses["wren"], 11, misled=1.0).prove(FEW)
    located = [sum(walk.result in ("alone", "list", "end") for walk in one.walks) for one in (proof, misled)]
    assert located[1] < located[0] / 2


def test_limits_are_missed_only_by_the_whole_interval_and_steps_are_weighed():
    walks = [FieldWalk("stopped a", "electrician", cause("dead", "a", 9.0), "alone", 2) for _ in range(19)]
    walks.append(FieldWalk("stopped a", "electrician", cause("dead", "b", 1.0), "wrong", 12))
    few = FieldProof(1, 0.0, tuple(walks), 0)
    (group,) = few.groups("electrician")
    assert group.located == Share(19, 20)
    assert group.mean_steps == pytest.approx((19 * 9 * 2 + 12) / (19 * 9 + 1))
    assert few.missed() == ()  # of twenty walks, one wrong name may be chance
    assert {one.quantity for one in FieldProof(1, 0.0, tuple(walks * 40), 0).missed()} == {"wrong"}
    long = FieldProof(1, 0.0, (FieldWalk("stopped a", "owner", None, "gave up", 7),), 0)
    assert [one.quantity for one in long.missed()] == ["owner's longest"]
