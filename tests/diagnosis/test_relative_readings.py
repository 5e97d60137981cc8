"""Readings in use are taken against the battery: neither charge nor the meter's error changes an answer."""

import pytest

from vandoc.analysis.diagnosis.trial import Activity, NetworkChange, SolvedTrial


def reading(diagnosis, ident: str):
    return next(
        observation
        for case in diagnosis.cases()
        for observation in case.observations.values()
        if observation.question.id.startswith(ident)
    )


def scaled(point: SolvedTrial, share: float) -> SolvedTrial:
    """The same van with all voltages a little lower, as with less charge or another meter."""
    volts = {end: share * value for end, value in point.volts.items()}
    return SolvedTrial(point.change, volts, point.amps, point.device_amps, point.stopped)


@pytest.mark.parametrize("share", [0.92, 0.96, 1.0, 1.04])
@pytest.mark.parametrize(("ohm", "expected"), [(0.0, "near nothing"), (1.0, "too high"), (1e9, "nothing")])
def test_charge_and_meter_cancel(diagnoses, share, ohm, expected):
    """Wren's pump, a lamp of 21 W: 1.8 A through 1 ohm is 1.5 V less than at the battery, at any charge."""
    diagnosis = diagnoses["wren"]
    asked = reading(diagnosis, "loss pump.+ pump.-")
    change = NetworkChange({"water supply": ohm} if ohm else {})
    point = scaled(diagnosis.bench.solve(asked.trial, change), share)
    assert asked.answer(asked.read((), point)) == expected


def test_behind_a_converter_and_while_charging_a_voltage_is_read_as_it_is(diagnoses):
    """There it says something by itself."""
    for case in diagnoses["heron"].cases():
        for observation in case.observations.values():
            if observation.question.kind == "loss":
                assert observation.trial.doing is Activity.USE
    kinds = {
        observation.question.kind
        for case in diagnoses["heron"].cases()
        for observation in case.observations.values()
        if observation.question.subjects[:1] == ("lights.+",)
    }
    assert "volts" in kinds
    assert "loss" not in kinds


def test_a_flat_battery_is_told_by_its_own_voltage(diagnoses):
    (problem,) = [case.problem for case in diagnoses["wren"].cases() if case.symptom.id == "stopped pump"]
    absolute = [q.id for q in problem.questions if q.kind == "volts"]
    assert absolute
    assert all("house.+" in ident for ident in absolute)
