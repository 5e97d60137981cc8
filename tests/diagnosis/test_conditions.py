"""The lights that are seen with a fault, against what their words on the part sheets say."""

import pytest

from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.trial import Trial


def seen(diagnosis, fault_id: str, thing: str, trial: Trial) -> str:
    fault: Fault = next(fault for fault in diagnosis.faults if fault.cause.id == fault_id)
    solved = diagnosis.bench.solve(trial, fault.change)
    (light,) = [o for o in diagnosis.questions.lights(trial) if o.question.subjects == (thing,)]
    return light.answer(light.read((fault,), solved))


# What each light means stands in sites/parts/*.yml; lights are counted from 1 in the order of the sheet.
@pytest.mark.parametrize(
    ("fault", "thing", "trial", "look"),
    [
        ("dead pump", "driving", Trial.DRIVING, "light 1"),  # blue: it charges
        ("fuse-blown driving-fuse", "driving", Trial.DRIVING, "dark"),  # no input
        ("ignition-lost driving", "driving", Trial.DRIVING, "dark"),  # no ignition signal
        ("cable-open ignition", "driving", Trial.DRIVING, "dark"),
        ("dead driving", "driving", Trial.DRIVING, "dark"),
        ("dead pump", "solar", Trial.SUN, "light 1"),  # green: the panels charge
        (
            "cable-open solar-out",
            "solar",
            Trial.SUN,
            "light 2",
        ),  # nothing flows, as with a full battery
        ("not-feeding panels", "solar", Trial.SUN, "dark"),
        ("dead pump", "hook-up", Trial.HOOK_UP, "light 1"),
        ("fuse-blown main-board.6", "hook-up", Trial.HOOK_UP, "light 2"),
        ("dead pump", "fridge", Trial.USE, "light 1"),
        ("fuse-blown galley-board.2", "fridge", Trial.USE, "dark"),
        ("dead fridge", "fridge", Trial.USE, "dark"),
        ("flat house", "house", Trial.USE, "light 3"),  # red: it has cut itself off
        ("dead pump", "house", Trial.USE, "light 1"),
    ],
)
def test_the_light_that_is_seen(diagnoses, fault, thing, trial, look):
    assert seen(diagnoses["curlew"], fault, thing, trial) == look


def test_a_light_without_a_condition_is_never_relied_on(diagnoses):
    for diagnosis in diagnoses.values():
        for trial in diagnosis.bench.trials():
            for observation in diagnosis.questions.lights(trial):
                thing = observation.question.subjects[0]
                piece = diagnosis.system.equipment.get(thing) or diagnosis.system.loads[thing]
                for answer in observation.question.answers:
                    if answer != "dark":
                        assert piece.indicators[int(answer.split()[1]) - 1].when is not None
