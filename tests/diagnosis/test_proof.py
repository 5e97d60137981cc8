"""Every single fault of the demonstration vans and of vans made up by chance is found by its trees."""

from functools import partial
from random import Random
from statistics import fmean

import pytest

from tests.diagnosis.owner_ways import broken_by
from tests.vans.generated import generated
from vandoc.analysis import Van
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.proof import Proof, Prover
from vandoc.analysis.diagnosis.report import report
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.analysis.diagnosis.trees import tree
from vandoc.analysis.diagnosis.trial import NetworkChange

FIFTY = range(50)  # the benchmark `tests/benchmarks/prove_many.py` takes all of them and more
SEEDS = FIFTY[::7]


@pytest.fixture(scope="module")
def provers(diagnoses) -> dict[str, Prover]:
    return {name: Prover(diagnosis) for name, diagnosis in diagnoses.items()}


@pytest.fixture(scope="module")
def proofs(provers) -> dict[str, Proof]:
    return {name: prover.prove() for name, prover in provers.items()}


def bench_of(diagnosis: Diagnosis) -> FaultBench:
    """A bench that has solved nothing yet."""
    van = Van(diagnosis.system)
    return FaultBench(van.system, van.network, van.wiring)


def part_of(cause: str) -> str:
    """The part of a cause without where on it: a cable with a bad end is that cable."""
    return cause.split(" ", 1)[1].split(" at ")[0]


def test_every_single_fault_of_the_demo_vans_is_found(proofs):
    for name, proof in proofs.items():
        assert proof.lost == (), name
        assert proof.early == (), name
        assert proof.silent == (), name
        assert proof.faults >= 150


def test_causes_that_cannot_be_told_apart_are_one_part_or_loads_on_one_fuse(proofs):
    for proof in proofs.values():
        for causes in proof.groups:
            kinds = {cause.split()[0] for cause in causes}
            assert len({part_of(cause) for cause in causes}) == 1 or kinds == {"shorted"}


def test_two_faults_at_once_end_at_one_of_them_or_where_more_than_one_thing_may_be_wrong(provers):
    """A tree knows single faults only, so it may name a sound part; its last step then leads on."""
    for name, prover in provers.items():
        walks = prover.pairs(200)
        assert len(walks) > 300, name
        assert all(walk.found or walk.handed_over for walk in walks), name
        assert fmean(walk.found for walk in walks) > 0.9, name
        assert any(walk.astray and walk.handed_over for walk in walks), name


def test_a_tree_that_stops_at_what_it_names_is_caught(diagnoses):
    """Without its last step the same walks end at sound parts,."""
    prover = Prover(diagnoses["wren"])
    for (symptom, reader), whole in prover.trees.items():
        if reader == "electrician":  # an owner's names what is left and hands over
            (case,) = [case for case in prover.cases if case.symptom.id == symptom]
            prover.trees[symptom, reader] = tree(case.problem, reader)
            assert prover.trees[symptom, reader].start != whole.start
    walks = [walk for walk in prover.pairs(100) if walk.reader == "electrician"]
    assert any(walk.astray and walk.steps[-1][1] != "repaired" and not walk.cured for walk in walks)


def test_a_fault_counts_as_repaired_only_if_the_symptom_is_gone(diagnoses, provers):
    """The van is solved anew on a bench of its own, with all that was not put right still in it."""
    repaired = 0
    for name, diagnosis in diagnoses.items():
        bench = bench_of(diagnosis)
        symptoms = {case.symptom.id: case.symptom for case in provers[name].cases}
        pick = Random(name)
        for pair in [pick.sample(diagnosis.faults, 2) for _ in range(30)]:
            for walk in provers[name].walks(tuple((fault, fault.change) for fault in pair)):
                rest = tuple(fault for fault in pair if fault.cause.id not in walk.repaired)
                change = NetworkChange()
                for fault in rest:
                    change = change.with_(fault.change)
                still = symptoms[walk.symptom].seen(rest, partial(bench.solve, change=change))
                assert (walk.cured, walk.handed_over) == (not still, still), walk
                repaired += walk.cured
    assert repaired > 100


def traits(seed: int) -> set[tuple[object, ...]]:
    """What is in a generated van that decides how its faults show."""
    system = generated(seed)
    asked = ("chemistry", "regulation", "purpose", "role")
    pieces = [(one.kind, *(getattr(one, name, None) for name in asked)) for one in system.equipment.values()]
    return {*pieces, (system.van.nominal_v,)}


def test_the_sample_has_all_that_the_fifty_have():
    assert {one for seed in FIFTY for one in traits(seed)} == {one for seed in SEEDS for one in traits(seed)}
    assert {len(generated(seed).circuits) for seed in SEEDS} >= {3, 14}


@pytest.mark.parametrize("seed", SEEDS)
def test_every_single_fault_of_a_generated_van_is_found(seed):
    system = generated(seed)
    prover = Prover(Diagnosis(Van(system)), seed)
    proof = prover.prove(draws=1)
    assert len(proof.walks) > 100
    assert proof.lost == ()
    assert proof.early == ()
    for case in prover.cases:
        assert broken_by(case.problem, prover.trees[case.symptom.id, "owner"]) == []


def test_the_report_says_how_many_were_found_and_what_is_left_together(proofs, provers):
    text = report("van.yml", proofs["wren"], provers["wren"].pairs(10))
    first, *others = text.splitlines()
    assert first.startswith("van.yml: 160 of 160 faults found, average ")
    assert any("shorted alarm, shorted voltmeter" in line for line in others)
