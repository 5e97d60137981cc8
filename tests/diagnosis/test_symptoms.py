"""What may cause each symptom, and what is then seen: against what anybody can tell from the drawing."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.problem import Problem
from vandoc.analysis.diagnosis.proof import Prover
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.analysis.diagnosis.trial import OPEN_OHM, NetworkChange, Trial
from vandoc.reading.loader import load

WREN = Van.of(load(Path(__file__).parents[2] / "sites" / "wren" / "van.yml")).system


@pytest.fixture(scope="session")
def problems(diagnoses) -> dict[str, dict[str, Problem]]:
    return {
        name: {case.symptom.id: case.problem for case in diagnosis.cases()}
        for name, diagnosis in diagnoses.items()
    }


def causes(problem: Problem) -> set[str]:
    return {cause.id for cause in problem.causes}


def test_causes_of_a_dead_pump_are_in_its_own_circuit(problems):
    found = causes(problems["curlew"]["stopped pump"])
    assert {
        "dead pump",
        "shorted pump",
        "fuse-blown galley-board.1",
        "fuse-blown main-board.2",
        "fuse-blown main-fuse",
        "left-off isolator",
        "cable-open galley-return",
        "joint-poor battery-minus at house.-",
        "flat house",
    } <= found
    assert (
        not {"fuse-blown galley-board.2", "dead fridge", "cable-open seat-feed", "cable-open roof-plus"}
        & found
    )


def test_everything_is_dead_only_for_what_all_share(problems):
    found = causes(problems["curlew"]["all-dead"])
    assert {"fuse-blown main-fuse", "left-off isolator", "flat house"} <= found
    assert not any("galley" in ident or "seat-board" in ident for ident in found)


def test_whether_the_fridge_works_tells_the_kitchen_board_from_the_pump(problems):
    problem = problems["curlew"]["stopped pump"]
    works = [q for q in problem.questions if q.kind == "works"]
    answers = {
        cause: {q.id: problem.possible[q.id, cause] for q in works}
        for cause in ("fuse-blown galley-board.1", "fuse-blown main-board.2", "fuse-blown main-fuse")
    }
    assert set(answers["fuse-blown galley-board.1"].values()) == {frozenset({"yes"})}
    assert set(answers["fuse-blown main-fuse"].values()) == {frozenset({"no"})}
    assert len(set(answers["fuse-blown main-board.2"].values())) == 2


def test_an_open_return_shows_full_voltage_at_the_negative_of_the_load(diagnoses):
    bench = diagnoses["curlew"].bench
    solved = bench.solve(Trial.USE, NetworkChange({"water return": OPEN_OHM}))
    assert solved.across_v("pump.+", "pump.-") == pytest.approx(0.0, abs=1e-3)
    assert solved.across_v("pump.-", "house.-") == pytest.approx(
        solved.across_v("galley-board.in", "house.-"), abs=1e-3
    )


def test_a_charger_without_its_ignition_feed_supplies_nothing(diagnoses):
    bench = diagnoses["curlew"].bench
    assert bench.healthy(Trial.DRIVING).amps_of("driving") == pytest.approx(30.0)
    solved = bench.solve(Trial.DRIVING, NetworkChange({"ignition": OPEN_OHM}))
    assert solved.amps_of("driving") == 0.0
    assert "driving" in solved.stopped


def test_12_volt_loads_stop_with_their_converter(problems):
    assert "dead converter" in causes(problems["heron"]["stopped lights"])
    assert "dead converter" not in causes(problems["heron"]["stopped pump"])


def test_every_cause_has_an_answer_to_every_question(problems):
    for van in problems.values():
        assert van
        for problem in van.values():
            for question in problem.questions:
                for cause in problem.causes:
                    answers = problem.possible[question.id, cause.id]
                    assert answers
                    assert answers <= set(question.answers), (question.id, answers)


@pytest.mark.parametrize("missing", range(len(WREN.cables)))
def test_a_van_that_lacks_a_cable_still_gets_its_symptoms(missing):
    """It fails its checks, yet a draft of it is built."""
    cables = [cable for number, cable in enumerate(WREN.cables) if number != missing]
    system = WREN.model_copy(update={"cables": cables})
    prover = Prover(Diagnosis(Van(system)))
    assert all(case.problem.causes for case in prover.cases)
    assert prover.prove(draws=0).lost == ()


ONE_LOAD = """
van: {name: Test, nominal: 12 V, size: {length: 5 m, width: 2 m, driver: left}, invented: true}
workshop: {name: Test workshop}
places: {box: {label: in the box, at: {back: 1 m, across: 1 m}}}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 100 Ah}
  main: {kind: fuse, name: main fuse, place: box, family: E, rating: 30 A}
loads:
  pump: {name: water pump, place: box, current: 5 A}
cables:
  - {id: feed, from: house.+, to: main.in, length: 0.2 m, area: 6 mm²}
  - {id: out, from: main.out, to: pump.+, length: 2 m, area: 6 mm²}
  - {id: back, from: pump.-, to: house.-, length: 2 m, area: 6 mm²}
"""


def test_a_failed_cell_also_shows_in_a_van_without_charging(tmp_path):
    """The pump still runs at the voltage that is left: all that is seen is a battery that never gets full."""
    path = tmp_path / "van.yml"
    path.write_text(ONE_LOAD, "utf-8")
    proof = Prover(Diagnosis(Van.of(load(path)))).prove()
    assert (proof.silent, proof.lost, proof.early) == ((), (), ())
    seen = {walk.symptom for walk in proof.walks if walk.faults == ("cell-gone house",)}
    assert seen == {"never-full house", "flat-fast house"}
