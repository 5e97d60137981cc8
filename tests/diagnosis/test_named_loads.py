"""What draws current while something is measured: a load by its name, or a proof lamp where one may be."""

import pytest

from tests.diagnosis.conftest import NAMES
from vandoc.analysis.diagnosis.permitted import proof_lamp_w
from vandoc.analysis.diagnosis.trial import Activity, Trial
from vandoc.model.system import System
from vandoc.reading.loader import load

VAN = """
van: {name: Test, nominal: 12 V, size: {length: 6 m, width: 2 m, driver: left}, invented: true}
workshop: {name: Test workshop}
places:
  box: {label: in the box, at: {back: 1 m, across: 1 m}}
  galley: {label: in the galley, at: {back: 2 m, across: 1 m}}
  gas: {label: in the gas locker, at: {back: 3 m, across: 1 m}, gas_locker: true}
  tank: {label: beside the tank, at: {back: 3 m, across: 1 m}, beside: [fuel]}
  engine: {label: under the bonnet, at: {back: 0.3 m, across: 1 m}, engine_space: true, inside: false}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 100 Ah}
loads:
  pump: {name: pump, place: PLACE, current: 3 A}
cables:
  - {id: feed, from: house.+, to: pump.+, length: 1 m, area: 16 mm²}
  - {id: back, from: pump.-, to: house.-, length: 1 m, area: 16 mm²}
"""


@pytest.fixture
def system(tmp_path):
    def make(place: str) -> System:
        path = tmp_path / "van.yml"
        path.write_text(VAN.replace("PLACE", place), "utf-8")
        return load(path).system

    return make


@pytest.mark.parametrize(
    ("nominal_v", "amps", "fuse_a", "expected"),
    [
        # UN Regulation 37 (from memory): 5, 21 and 55 W for 12 V; 5, 21 and 70 W for 24 V. By hand:
        (12.0, 0.1, 1.0, 5.0),  # 0.42 A is as much as the load draws, and below 0.8 A
        (12.0, 3.0, 3.0, 21.0),  # 55 W take 4.6 A, more than 2.4 A; 21 W take 1.75 A
        (12.0, 3.0, 10.0, 55.0),  # 21 W would draw less than the load, 4.6 A is below 8 A
        (12.0, 1.0, 10.0, 21.0),
        (12.0, 0.1, 0.5, None),  # 0.42 A is more than 0.4 A
        (24.0, 2.5, 10.0, 70.0),
        (24.0, 0.5, 10.0, 21.0),
        (48.0, 1.0, 10.0, None),  # no lamp is made for it
        (12.0, 3.0, None, None),  # a fuse that is not known is never safe
    ],
)
def test_the_proof_lamp_of_a_circuit_by_hand(system, nominal_v, amps, fuse_a, expected):
    assert proof_lamp_w(system("galley"), "pump", nominal_v, amps, fuse_a) == expected


@pytest.mark.parametrize("place", ["gas", "tank", "engine", "box"])  # an AGM battery in the box gives off gas
def test_no_proof_lamp_near_gas_fuel_an_engine_or_a_venting_battery(system, place):
    assert proof_lamp_w(system(place), "pump", 12.0, 3.0, 10.0) is None


@pytest.mark.parametrize("van", NAMES)
def test_only_lamps_are_relied_on_to_draw(diagnoses, van):
    """Never the pump dry, a valve, a step, a bed, an empty socket: a lamp takes their place where it may."""
    diagnosis = diagnoses[van]
    named = diagnosis.questions.named
    lamps = {ident for ident, one in diagnosis.system.loads.items() if one.importance == "lighting"}
    assert set(named.whole().on) <= lamps
    assert len(named.whole().on) == 2
    for thing in diagnosis.system.loads:
        measured = named.measured(named.alone(thing))
        assert measured.doing is Activity.USE
        assert (measured.on == (thing,)) == (thing in lamps or thing not in dict(measured.lamps))
        assert set(measured.on) <= lamps or thing not in dict(measured.lamps)
        assert len(measured.on) + len(measured.lamps) <= 2


@pytest.mark.parametrize("van", NAMES)
def test_no_step_needs_all_loads(diagnoses, van):
    """Every measurement in use names one load or two, or a proof lamp in the place of one."""
    for case in diagnoses[van].cases():
        for observation in case.observations.values():
            trial = observation.trial
            if trial is not None and trial.doing is Activity.USE:
                assert trial.on is not None, observation.question.id
                assert len(trial.on) + len(trial.lamps) in (1, 2), observation.question.id
                assert observation.question.on == trial.on
                assert observation.question.lamps == trial.lamps


def test_a_proof_lamp_draws_its_current_by_hand(diagnoses):
    """21 W at 12 V are 6.86 ohm; with 12.3 V behind it, 1.79 A."""
    bench = diagnoses["wren"].bench
    solved = bench.healthy(Trial(Activity.USE, on=(), lamps=(("pump", 21.0),)))
    assert solved.amps_of("pump lamp") == pytest.approx(solved.across_v("pump.+", "pump.-") / 6.857, rel=1e-3)
    assert solved.amps_of("pump lamp") == pytest.approx(1.79, rel=0.02)
    assert solved.amps_of("pump") == 0.0
