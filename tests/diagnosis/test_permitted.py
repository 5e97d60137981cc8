"""Nothing hazardous is asked of an owner, whatever the van; and of nobody what should never be done."""

from dataclasses import replace
from typing import get_args

import pytest

from tests.vans.generated import generated
from vandoc.analysis import Van
from vandoc.analysis.diagnosis.permitted import BLADE_FAMILIES, Kind, highest_v, owner_pulls, reader_of
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.model.references import terminals
from vandoc.model.system import System
from vandoc.model.traits import CHASSIS

BY_HAND = {"gates", "works", "light", "position", "position-off", "charge"}
MEASURED = {"volts", "loss", "back-volts", "drop", "joint-drop", "continuity", "open-contact"}
FUSES = {"fuse-look", "fuse-swap"}


def with_voltage(system: System, volts: float) -> System:
    return system.model_copy(update={"van": system.van.model_copy(update={"nominal_v": volts})})


def diagnosis_of(system: System) -> Diagnosis:
    return Diagnosis(Van(system))


def questions(diagnosis: Diagnosis):
    return {question for case in diagnosis.cases() for question in case.problem.questions}


@pytest.fixture(scope="module")
def vans(diagnoses):
    return [*diagnoses.values(), *(diagnosis_of(generated(seed)) for seed in range(4))]


def test_the_kinds_of_question_are_a_closed_list_without_a_hazard():
    """What is not in the list cannot be asked: to open a device, to short, to bridge a fuse, mains."""
    assert set(get_args(Kind)) == BY_HAND | MEASURED | FUSES


def test_an_owner_is_asked_for_no_tool_and_no_bolted_fuse(vans):
    asked = 0
    for diagnosis in vans:
        for question in questions(diagnosis):
            if question.reader != "owner":
                continue
            asked += 1
            assert question.kind in BY_HAND | FUSES
            if question.kind in FUSES:
                fuse = diagnosis.network.fuses[question.subjects[0]]
                place = diagnosis.system.places[diagnosis.system.equipment[fuse.owner].place]
                assert fuse.family in {"C", "E", "F"}
                assert place.inside
                assert not place.engine_space
                assert not place.gas_locker
                assert highest_v(diagnosis.system) <= 24
    assert asked > 50


def test_above_24_v_an_owner_touches_no_fuse():
    diagnosis = diagnosis_of(with_voltage(generated(3), 48.0))
    asked = [question for question in questions(diagnosis) if question.reader == "owner"]
    assert asked
    assert {question.kind for question in asked} <= BY_HAND
    fuse = next(fuse for fuse in diagnosis.network.fuses.values() if fuse.family in BLADE_FAMILIES)
    plain = with_voltage(diagnosis.system, 24.0)
    assert not owner_pulls(diagnosis.system, diagnosis.network, fuse, 10.0)
    assert owner_pulls(plain, diagnosis.network, fuse, 10.0)
    assert not owner_pulls(plain, diagnosis.network, fuse, 80.0)
    assert reader_of("fuse-swap", None, pulled=False) == "electrician"
    assert reader_of("fuse-swap", None, pulled=True) == "owner"


def test_an_owner_does_not_pull_the_main_fuse(diagnoses):
    """Before it nothing protects; a blade in its own holder too."""
    curlew = diagnoses["curlew"]
    small = replace(curlew.network.fuses["main-fuse"], family="C")
    assert not owner_pulls(curlew.system, curlew.network, small, 10.0)
    wren = diagnoses["wren"]
    behind = replace(wren.network.fuses["board-fuse"], family="C")
    assert owner_pulls(wren.system, wren.network, behind, 10.0)


@pytest.mark.parametrize("kind", ["light", "position", "position-off"])
def test_no_owner_is_sent_to_a_running_engine(diagnoses, kind):
    places = diagnoses["wren"].system.places
    engine = next(place for place in places.values() if place.engine_space)
    assert reader_of(kind, engine) == "electrician"
    assert reader_of(kind, places["galley"]) == "owner"
    assert reader_of("works", engine) == "owner"


def test_measurements_are_at_terminals_of_the_low_voltage_side(vans):
    for diagnosis in vans:
        known = set(terminals(diagnosis.system)) - {CHASSIS}
        for question in questions(diagnosis):
            if question.kind in ("volts", "back-volts"):
                assert set(question.subjects) <= known
                assert question.expected_v is not None
                assert question.expected_v <= 120  # IEC 61140: extra-low voltage, from memory


def test_a_mains_charger_is_looked_at_from_outside_only(diagnoses):
    """Its only terminals are those of its low-voltage output."""
    for name in ("curlew", "heron"):
        for question in questions(diagnoses[name]):
            at_it = [s for s in question.subjects if s.split(".")[0] == "hook-up"]
            assert set(at_it) <= {"hook-up", "hook-up.out", "hook-up.-"}
            assert "hook-up" not in at_it or question.kind == "light"
