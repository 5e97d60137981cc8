"""Every part of a van has its faults; how likely each is stands in a table, or on the van's own sheets."""

from typing import get_args

import pytest

from tests.vans.generated import generated
from vandoc.analysis import Van
from vandoc.analysis.diagnosis.faults import faults, likelihoods
from vandoc.analysis.diagnosis.trial import OPEN_OHM
from vandoc.ground.errors import SystemFileError
from vandoc.model.equipment import FaultKind
from vandoc.reading.loader import load

VAN = """
van: {name: Test, nominal: 12 V, size: {length: 6 m, width: 2 m, driver: left}, invented: true}
workshop: {name: Test workshop}
places: {box: {label: in the box, at: {back: 1 m, across: 1 m}}}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 100 Ah}
  board: {kind: fuse-board, name: board, place: box, family: C, rows: 1, columns: 4}
loads:
  pump: {part: pump.yml, place: box}
cables:
  - {id: feed, from: house.+, to: board.in, length: 1 m, area: 16 mm²}
circuits:
  - {id: water, fuse: {board: board, position: 1}, cable: {length: 2 m}, load: pump, return: house.-}
"""
PUMP = "name: water pump\ncurrent: 5 A\n"


@pytest.fixture
def van(tmp_path):
    def make(sheet: str):
        (tmp_path / "van.yml").write_text(VAN, "utf-8")
        (tmp_path / "pump.yml").write_text(sheet, "utf-8")
        read = Van.of(load(tmp_path / "van.yml"))
        return {fault.cause.id: fault for fault in faults(read.system, read.network)}

    return make


def test_the_faults_of_a_small_van_by_hand(van):
    assert set(van(PUMP)) == {
        "cable-open feed",
        "joint-poor feed at house.+",
        "joint-poor feed at board.in",
        "cable-open water supply",
        "joint-poor water supply at board.1",
        "joint-poor water supply at pump.+",
        "cable-open water return",
        "joint-poor water return at pump.-",
        "joint-poor water return at house.-",
        "fuse-blown board.1",
        "contact-poor board.1",
        "flat house",
        "cell-gone house",
        "dead pump",
        "shorted pump",
    }


def test_a_short_circuit_opens_the_fuse_before_it(van):
    assert van(PUMP)["shorted pump"].change.ohms == {"board.1": OPEN_OHM}


def test_the_table_gives_a_weight_to_every_kind_of_fault():
    assert set(likelihoods()) == set(get_args(FaultKind))
    assert all(weight > 0 for weight in likelihoods().values())


def test_high_resistance_is_the_commonest_fault_of_a_cable_or_contact():
    """Common practice, no source: the poor connection, most of all in the way back."""
    usual = likelihoods()
    kinds = ("fuse-blown", "cable-open", "stuck-open", "dead", "shorted", "contact-poor")
    assert all(2 * usual["joint-poor"] > usual[kind] for kind in kinds)  # a cable has two ends


def test_a_part_sheet_may_say_that_a_fault_is_likelier(van):
    usual = likelihoods()
    found = van(PUMP + "likelihood: {dead: 9}\n")
    assert found["dead pump"].cause.weight == 9
    assert found["shorted pump"].cause.weight == usual["shorted"]


def test_the_sheet_of_a_demo_fuse_board_makes_its_contacts_fail_more_often(diagnoses):
    """Two vans have the board whose sheet says so, one has another."""
    usual = likelihoods()
    weights = {
        name: {fault.cause.id: fault.cause.weight for fault in diagnosis.faults}
        for name, diagnosis in diagnoses.items()
    }
    assert weights["wren"]["contact-poor board.1"] == 4 == 2 * usual["contact-poor"]
    assert weights["heron"]["contact-poor board-24.1"] == 4
    assert weights["wren"]["contact-poor main-fuse"] == usual["contact-poor"]
    assert weights["wren"]["fuse-blown board.1"] == usual["fuse-blown"]
    assert weights["curlew"]["contact-poor galley-board.1"] == usual["contact-poor"]


@pytest.mark.parametrize("wrong", ["{broken: 2}", "{dead: -1}", "{dead: often}"])
def test_an_unknown_fault_or_weight_is_refused(van, wrong):
    with pytest.raises(SystemFileError, match=r"pump\.yml:3:"):
        van(PUMP + f"likelihood: {wrong}\n")


def test_every_kind_of_fault_is_met_and_none_twice(diagnoses):
    kinds = set()
    systems = [diagnosis.system for diagnosis in diagnoses.values()] + [generated(seed) for seed in range(5)]
    for system in systems:
        found = faults(system, Van(system).network)
        names = [fault.cause.id for fault in found]
        assert len(set(names)) == len(names)
        kinds |= {fault.kind for fault in found}
    assert kinds == set(get_args(FaultKind))


def test_every_cable_fuse_and_contact_can_fail(diagnoses):
    for diagnosis in diagnoses.values():
        network = diagnosis.network
        failing = {fault.edge for fault in diagnosis.faults}
        solid = {joint.id for joint in network.joints.values() if joint.kind in ("shunt", "sensor")}
        assert failing - {None} == {edge.id for edge in network.edges()} - solid
