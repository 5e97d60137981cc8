"""Every single fault of the demonstration vans and of fifty vans made up by chance is found by its trees."""

from statistics import fmean

import pytest

from tests.vans.generated import generated
from vandoc.diagnosis.proof import Proof, Prover
from vandoc.diagnosis.report import report
from vandoc.diagnosis.symptoms import Diagnosis
from vandoc.network.expand import build
from vandoc.sizing import size

SEEDS = range(50)


@pytest.fixture(scope="module")
def provers(diagnoses) -> dict[str, Prover]:
    return {name: Prover(diagnosis) for name, diagnosis in diagnoses.items()}


@pytest.fixture(scope="module")
def proofs(provers) -> dict[str, Proof]:
    return {name: prover.prove() for name, prover in provers.items()}


def part_of(cause: str) -> str:
    """The part of a cause without where on it: a cable with a bad end is that cable."""
    return cause.split(" ", 1)[1].split(" at ")[0]


def test_every_single_fault_of_the_demo_vans_is_found(proofs):
    for name, proof in proofs.items():
        assert proof.lost == (), name
        assert proof.early == (), name
        assert proof.silent == (), name
        assert proof.faults >= 150


def test_what_is_left_together_is_one_part_or_loads_on_one_fuse(proofs):
    for proof in proofs.values():
        for causes in proof.groups:
            kinds = {cause.split()[0] for cause in causes}
            assert len({part_of(cause) for cause in causes}) == 1 or kinds == {"shorted"}


def test_two_faults_at_once_end_at_one_of_them_or_in_a_call_for_help_and_else_mend_nothing(provers):
    """A tree knows single faults only. What it must never do is to say that all is well."""
    for name, prover in provers.items():
        walks = prover.pairs(100)
        assert fmean(walk.found or walk.handed_over for walk in walks) > 0.9, name
        for walk in walks:
            assert not walk.mended or "mended" in dict(walk.steps).values()


@pytest.mark.parametrize("seed", SEEDS)
def test_every_single_fault_of_a_generated_van_is_found(seed):
    system = generated(seed)
    network = build(system)
    proof = Prover(Diagnosis(system, network, size(system, network)), seed).prove(draws=1)
    assert len(proof.walks) > 100
    assert proof.lost == ()
    assert proof.early == ()


def test_the_report_says_how_many_were_found_and_what_is_left_together(proofs, provers):
    text = report("van.yml", proofs["wren"], provers["wren"].pairs(10))
    first, *others = text.splitlines()
    assert first.startswith("van.yml: 152 of 152 faults found, mean ")
    assert any("shorted alarm, shorted voltmeter" in line for line in others)
