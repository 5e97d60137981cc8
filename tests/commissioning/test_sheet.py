"""The sheet of measurements: what it expects, against sums by hand and the solved wiring."""

from string import Formatter

import pytest

from tests.conftest import DEMO_VANS
from vandoc.analysis.commissioning import PHASES, measurement_words
from vandoc.analysis.commissioning.words import WORDS
from vandoc.doors.build import read
from vandoc.model import records
from vandoc.model.records import MEASURES, kind_of, subject_of
from vandoc.physics.network.states import OperatingState

SMALL = """\
van: {name: Tern, nominal: 12 V, size: {length: 5 m, width: 2 m, driver: left}}
workshop: {name: Somebody}
places:
  box: {label: under the seat, at: {back: 1 m, across: 1 m}, hottest: 20 °C}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 90 Ah, torque: 8 N·m}
  board: {kind: fuse-board, name: fuses, place: box, family: C, rows: 1, columns: 4}
loads:
  lamp: {name: lamp, place: box, current: 2 A}
cables:
  - {id: feed, from: house.+, to: board.in, length: 1 m, area: 6 mm²}
circuits:
  - id: lamp
    fuse: {board: board, position: 1, rating: 5 A}
    cable: {length: 3 m, area: 1.5 mm²}
    load: lamp
    return: house.-
"""


@pytest.fixture(scope="module")
def tern(tmp_path_factory):
    path = tmp_path_factory.mktemp("tern") / "van.yml"
    path.write_text(SMALL, "utf-8")
    return read(path)


@pytest.fixture(scope="module", params=DEMO_VANS, ids=lambda path: path.parent.name)
def case(request):
    return read(request.param)


def test_a_voltage_drop_by_hand(tern):
    # IEC 60228:2004 class 5 at 20 °C: 3.30 mΩ/m for 6 mm², 13.3 mΩ/m for 1.5 mm². Fuse: 0.1 V at its rating.
    cable, fuse = 3.30e-3 * 1 + 13.3e-3 * 6, 0.1 / 5
    drop = tern.measurements["drop.lamp"]
    assert drop.amps_a == pytest.approx(2.0)
    assert drop.expected == pytest.approx(2.0 * (cable + fuse), rel=0.005)  # a little warmer than 20 °C
    lugs = 0.25 * 2 * (3.30e-3 + 2 * 13.3e-3)
    assert drop.high == pytest.approx(2.0 * (1.1 * (cable + fuse) + lugs), rel=0.005)


def test_a_drop_follows_the_current_that_flowed(tern):
    drop = tern.measurements["drop.lamp"]
    half = drop.at(1.0)
    assert (half.expected, half.high) == (pytest.approx(drop.expected / 2), pytest.approx(drop.high / 2))
    assert drop.at(None) is drop


def test_limits_exclude_a_flat_battery_and_a_loose_nut(tern):
    rest, nut = tern.measurements["rest-voltage.house"], tern.measurements["torque.house.+"]
    # BCI table for VRLA (from memory): 12.3 V at 50 %, 12.0 V at 25 %, on a straight line 12.18 V at 40 %.
    assert rest.low == pytest.approx(12.18)
    assert (nut.low, nut.expected, nut.high) == pytest.approx((7.2, 8.0, 8.8))


def test_a_drop_is_what_the_solved_voltages_say(case):
    compared = 0
    for ident, measurement in case.measurements.items():
        if kind_of(ident) != "drop":
            continue
        load = subject_of(ident)
        solved = case.wiring.solve(OperatingState.NIGHT, frozenset([load]))
        feeds = [s for s in case.network.sources if s.kind in ("battery", "converter")]
        consumer = next(c for c in case.network.consumers if c.owner == load)
        ends = [
            (s.plus, s.minus) for s in feeds if s in case.network.feeds(consumer) and s.plus in solved.volts
        ]
        arrives = solved.across_v(consumer.plus, consumer.minus)
        lost = [solved.across_v(*end) - arrives for end in ends]
        assert any(measurement.expected == pytest.approx(one, abs=1e-9) for one in lost), ident
        compared += 1
    assert compared > 5


def test_it_is_in_order_and_each_name_is_of_something_there(case):
    phases = [PHASES.index(one.phase) for one in case.measurements.values()]
    assert phases == sorted(phases)
    terminals = set(case.network.places)
    lugs = {
        f"{end} {cable.id}" for cable in case.network.conductors.values() for end in (cable.start, cable.end)
    }
    alarms = {f"{alarm.place} {alarm.detects}" for alarm in case.system.alarms}
    for ident, one in case.measurements.items():
        assert kind_of(ident) in MEASURES
        things = set(case.system.equipment) | set(case.system.loads) | set(case.network.conductors)
        assert subject_of(ident) in terminals | things | lugs | alarms
        if one.low is not None and one.high is not None:
            assert one.low < one.high
        if one.expected is not None:
            assert (one.low or 0) <= one.expected <= (one.high or one.expected)
    assert set(map(kind_of, case.measurements)) >= {
        "torque",
        "rest-voltage",
        "drain",
        "drop",
        "charge-voltage",
    }


def test_each_has_its_words(case):
    for one in case.measurements.values():
        words = measurement_words(one, case.system)
        for text in (words.title, words.probes, words.instrument, words.method):
            assert text
            assert "{" not in text
        assert words.expected or words.band or one.kind == "torque"
    assert set(WORDS["measurements"]) == set(MEASURES)
    for entry in WORDS["measurements"].values():
        assert not [name for _, name, _, _ in Formatter().parse(entry["method"]) if name]


def test_each_lug_on_a_bar_has_a_row_of_its_own(case):
    bars = [ident for ident, piece in case.system.equipment.items() if piece.stud_for_each()]
    for bar in bars:
        lugs = [
            cable.id
            for cable in case.network.conductors.values()
            if bar in (cable.start, cable.end) and not (cable.vehicle or cable.signal)
        ]
        rows = [subject_of(ident) for ident in case.measurements if ident.startswith(f"torque.{bar} ")]
        assert rows == [f"{bar} {lug}" for lug in lugs]


def test_a_reading_of_a_lug_can_be_entered_and_one_of_no_lug_is_refused(case):
    known = [*case.system.equipment, *case.system.loads, *(circuit.id for circuit in case.system.circuits)]
    known += [cable.id or f"{cable.start} to {cable.end}" for cable in case.system.cables]
    known += [*case.network.places, *case.system.places]
    for ident in case.measurements:
        assert records.names(subject_of(ident), kind_of(ident), known), ident
        assert not records.names(f"{subject_of(ident)} of something else", kind_of(ident), known)


def test_isolation_is_proved_in_the_dark_and_by_day(case):
    """Once for each board that nothing feeds past the isolators; by day only if there are panels."""
    dark = {subject_of(ident) for ident in case.measurements if ident.startswith("isolated.")}
    day = {subject_of(ident) for ident in case.measurements if ident.startswith("isolated-by-day.")}
    boards = {ident for ident, piece in case.system.equipment.items() if piece.positions() is not None}
    isolators = [joint for joint in case.network.joints.values() if joint.kind == "isolator"]
    assert dark <= boards
    assert day <= dark
    assert bool(dark) == bool(isolators and boards)
    if not any(piece.kind == "solar-array" for piece in case.system.equipment.values()):
        assert not day


def test_every_inverter_cut_off_and_alarm_is_proved():
    """The Curlew has an inverter that stops at 10.5 V and two alarms with batteries of their own."""
    (file,) = [path for path in DEMO_VANS if path.parent.name == "curlew"]
    found = read(file).measurements
    assert found["cut-off.inverter"].expected == 10.5
    assert found["cut-off.inverter"].low == pytest.approx(10.2)
    assert found["recovery.inverter"].low == 10.5
    assert found["full-load.inverter"].low == 10.5
    assert {"alarm.bed-left carbon monoxide", "alarm.ceiling smoke"} <= set(found)
