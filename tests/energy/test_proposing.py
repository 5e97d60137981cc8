"""Proposed batteries and chargers: the smallest that does, and never one that a rule then fails."""

import copy

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.checks.conftest import SOUND
from tests.reviews import cleared
from vandoc.analysis import Van
from vandoc.doors.build import read
from vandoc.ground.chemistry import chemistry_of
from vandoc.ground.errors import SystemFileError
from vandoc.judgement.checks import run
from vandoc.judgement.remedy import cures, findings
from vandoc.model.kinds.charger import charger_outputs

HOURS = {"pump": 0.5, "lights": 5}
USE = {"driven": "2 h", "hook_up": "6 h", "latitude": "50 °", "months": [5, 6, 7, 8], "nights": 2}


def van(*, use=USE, hours=HOURS, drop=(), **equipment):
    """The sound van with habits, and with keys of its equipment left out: 'house.capacity'."""
    found = copy.deepcopy(SOUND)
    found["use"] = dict(use)
    for load in found["loads"].values():
        load.pop("hours", None)
    for load, per_day in hours.items():
        found["loads"][load]["hours"] = {"summer": f"{per_day} h", "winter": f"{per_day} h"}
    for ident, changes in equipment.items():
        found["equipment"][ident.replace("_", "-")].update(changes)
    for trail in drop:
        ident, key = trail.split(".")
        del found["equipment"][ident][key]
    return found


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("van")


@pytest.fixture
def judged(folder):
    def judged(plain):
        text = yaml.safe_dump(plain, sort_keys=False, allow_unicode=True, width=1000)
        text = text.replace("inspected: '2026-03-12'", "inspected: 2026-03-12")
        (folder / "van.yml").write_text(text, "utf-8")
        return read(folder / "van.yml", folder)

    return judged


def of(found, rule):
    return [finding for finding in findings(found) if finding.rule == rule]


def sizes(chemistry):
    return sorted(chemistry_of(chemistry).sizes_ah)


@pytest.mark.parametrize("chemistry", ["AGM", "gel", "flooded", "LiFePO4"])
@pytest.mark.parametrize("hours", [1, 4, 8])
def test_a_battery_lasts_the_nights_and_the_next_smaller_one_does_not(chemistry, hours, judged):
    """Measured by the rule on nights, which reckons the whole energy budget of the van as it is given."""
    plain = van(hours={"lights": hours, "pump": 0.2}, house={"chemistry": chemistry}, drop=["house.capacity"])
    plain["equipment"]["house"]["discharge_limit"] = "200 A"
    proposed = judged(plain).system.equipment["house"].proposed
    assert proposed.decided == "nights"
    assert proposed.value in sizes(chemistry)
    for capacity, lasts in [
        (proposed.value, True),
        *((c, False) for c in sizes(chemistry) if c < proposed.value),
    ]:
        plain["equipment"]["house"]["capacity"] = f"{capacity} Ah"
        assert (not of(judged(plain), "nights-not-lasted")) == lasts


def test_a_battery_by_hand(judged):
    """24 W of lights for 5 h and 5 A for 0.5 h: 10 Ah + 2.5 Ah a day, and what the battery loses by itself.

    AGM to 50 %, worn to 80 % (no date is stated), at 15 °C or more in summer; 2 nights of about 12.6 Ah ask
    for 25.2 Ah / (0.5 × 0.8 × part left by the cold) ≥ 63 Ah: 60 Ah is too small and 80 Ah is enough.
    """
    found = judged(van(drop=["house.capacity"]))
    figures = dict(found.system.equipment["house"].proposed.figures)
    assert figures["need_ah"] == pytest.approx(12.5 + 80 * 0.03 / 30.4375, rel=1e-3)
    assert found.system.equipment["house"].capacity_ah == 80


def test_a_battery_accepts_the_current_of_its_chargers(judged):
    """With no limit stated, an AGM battery takes 0.4 C at most: 40 A ask for 100 Ah."""
    plain = van(hook_up={"output": "40 A"}, drop=["house.capacity", "house.charge_limit"])
    found = judged(plain)
    assert found.system.equipment["house"].proposed.decided == "charging"
    assert found.system.equipment["house"].capacity_ah == 100
    assert not of(found, "charge-current-above-limit")
    assert found.system.equipment["house"].proposed.decided == "charging"


def test_a_battery_in_parallel_is_of_the_same_size(judged):
    plain = van()
    second = copy.deepcopy(plain["equipment"]["house"]) | {"name": "second battery"}
    del second["capacity"]
    plain["equipment"]["second"] = second
    for sign in ("+", "-"):
        cable = {"id": f"beside{len(plain['cables'])}", "from": f"house.{sign}", "to": f"second.{sign}"}
        plain["cables"].append(cable | {"length": "0.2 m", "area": "16 mm²"})
    found = judged(plain)
    assert found.system.equipment["second"].capacity_ah == 200
    assert found.system.equipment["second"].proposed.decided == "alike"
    assert not of(found, "parallel-batteries-unlike")


def test_if_no_standard_capacity_is_enough_the_largest_is_proposed_and_said(judged):
    found = judged(van(use={**USE, "nights": 30}, drop=["house.capacity"]))
    assert found.system.equipment["house"].capacity_ah == sizes("AGM")[-1]
    assert of(found, "no-battery-fits")
    assert of(found, "nights-not-lasted")


def test_sizes_that_nothing_made_reaches_are_cleared_by_an_honest_entry(tmp_path):
    plain = van(use={**USE, "nights": 30}, drop=["house.capacity"])
    assert "no-battery-fits" in cleared(plain, tmp_path / "van.yml")
    assert "no-charger-fits" in cleared(never_enough(), tmp_path / "van.yml")


@pytest.mark.parametrize(("charger", "source"), [("hook-up", "mains"), ("driving", "alternator")])
@pytest.mark.parametrize("hours", [2, 8])
def test_a_charger_replaces_the_daily_consumption_and_the_next_smaller_one_does_not(
    charger, source, hours, judged
):
    """Measured by the energy budget: what is put back in a day, against the most that is drawn."""
    plain = van(hours={"lights": hours, "pump": 0.2}, drop=[f"{charger}.output"])
    found = judged(plain)
    proposed = found.system.equipment[charger].proposed
    assert proposed.decided == "need"
    smaller = [amps for amps in charger_outputs() if amps < proposed.value]
    for amps, covers in [(proposed.value, True), *((amps, False) for amps in smaller[-1:])]:
        plain["equipment"][charger]["output"] = f"{amps} A"
        again = judged(plain)
        (bank,) = again.energy.banks
        (way,) = [way for way in bank.charging if way.feed.source == source]
        drawn = max(season.need.high for season in bank.seasons.values() if season.months)
        assert (way.per_day.low >= drawn * (1 - 1e-9)) == covers


def test_a_charger_stays_within_the_charging_current_limit(judged):
    """AGM of 100 Ah: 0.4 C is the most that keeps it long, 40 A; a whole day in 1 h asks for more."""
    plain = van(
        use={**USE, "hook_up": "1 h"}, hours={"lights": 24, "pump": 4}, house={"capacity": "100 Ah"},
        drop=["hook-up.output", "house.charge_limit"],
    )  # fmt: skip
    found = judged(plain)
    assert found.system.equipment["hook-up"].output_a == 40
    assert found.system.equipment["hook-up"].proposed.decided == "battery"
    assert not of(found, "charge-current-above-recommended")
    assert chemistry_of("AGM").charge_current_c.high == 0.4


def test_a_charger_stays_within_the_current_available_from_the_alternator(judged):
    """The alternator spares 20 A; at 90 % that is 18 A of output, so 15 A is the largest."""
    plain = van(
        use={**USE, "driven": "1 h"},
        hours={"lights": 24},
        alternator={"spare": "20 A"},
        drop=["driving.output"],
    )
    found = judged(plain)
    assert found.system.equipment["driving"].output_a == 15
    assert found.system.equipment["driving"].proposed.decided == "alternator"
    assert not of(found, "alternator-overdrawn")


def never_enough():
    """200 W all day are 400 Ah; to put them back in an hour asks for more than the 120 A that are made."""
    plain = van(
        use={**USE, "hook_up": "1 h"},
        hours={"lights": 24},
        house={"chemistry": "LiFePO4", "capacity": "400 Ah", "discharge_limit": "200 A"},
        drop=["hook-up.output", "house.charge_limit"],
    )
    plain["loads"]["lights"]["power"] = "200 W"
    return plain


def test_if_no_standard_output_is_enough_the_largest_is_proposed_and_said(judged):
    found = judged(never_enough())
    assert found.system.equipment["hook-up"].output_a == charger_outputs()[-1] == 120
    assert of(found, "no-charger-fits")


def test_a_solar_charger_is_large_enough_for_its_panels(judged):
    """100 W at 12 V are 8.33 A: 10 A is the next that is made."""
    found = judged(van(drop=["solar.output"]))
    assert found.system.equipment["solar"].output_a == 10
    assert found.system.equipment["solar"].proposed.decided == "panels"
    assert not of(found, "array-above-output")


MISSING = [
    (
        {"drop": ["house.capacity"], "use": {"driven": "1 h"}},
        "equipment.house: 'capacity' is missing; state it",
        "use.nights",
    ),
    (
        {"drop": ["house.capacity"], "hours": {}},
        "equipment.house: 'capacity' is missing; state it",
        "'hours'",
    ),
    (
        {"drop": ["hook-up.output"], "use": {"nights": 2}},
        "equipment.hook-up: 'output' is missing; state it",
        "use.hook_up",
    ),
    (
        {"drop": ["driving.output"], "use": {"nights": 2}},
        "equipment.driving: 'output' is missing; state it",
        "use.driven",
    ),
    (
        {"drop": ["driving.output"], "hours": {}},
        "equipment.driving: 'output' is missing; state it",
        "'hours'",
    ),
    ({"drop": ["starter.capacity"]}, "equipment.starter: 'capacity' is missing", "label"),
]


@pytest.mark.parametrize(("changes", "said", "wanted"), MISSING)
def test_a_proposal_needs_its_figures_stated(changes, said, wanted, judged):
    with pytest.raises(SystemFileError) as error:
        judged(van(**changes))
    (problem,) = error.value.problems
    assert said in problem.message
    assert wanted in problem.message
    assert problem.location.line > 1


def test_a_solar_charger_without_panels_must_state_its_output(judged):
    plain = van(drop=["solar.output"])
    del plain["equipment"]["panel"]
    plain["cables"] = [cable for cable in plain["cables"] if "panel" not in cable["from"]]
    with pytest.raises(SystemFileError, match="state it, or state the solar array"):
        judged(plain)


OPEN = ["house.capacity", "house.charge_limit", "driving.output", "hook-up.output", "solar.output"]


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    chemistry=st.sampled_from(["AGM", "gel", "flooded", "LiFePO4"]),
    lights=st.integers(5, 200),
    pump=st.integers(1, 20),
    length=st.integers(1, 12),
    hours=st.integers(1, 10),
    nights=st.integers(1, 5),
    driven=st.integers(1, 6),
)
def test_no_proposal_leaves_a_fail_that_another_standard_size_cures(
    judged, chemistry, lights, pump, length, hours, nights, driven
):
    plain = van(
        use={**USE, "nights": nights, "driven": f"{driven} h"},
        hours={"lights": hours, "pump": 0.5},
        house={"chemistry": chemistry, "discharge_limit": "300 A", "low_temperature_lockout": True},
        drop=[*OPEN, "main-fuse.rating", "driving-in-fuse.rating", "driving-out-fuse.rating", "board.fuses"],
    )
    plain["loads"]["lights"]["power"] = f"{lights} W"
    plain["loads"]["pump"] |= {"current": f"{pump} A", "start": f"{2 * pump} A"}
    for run_ in plain["cables"]:
        if not run_.get("vehicle"):
            run_.pop("area")
    for circuit in plain["circuits"]:
        circuit["cable"] = {"length": f"{length} m"}
        del circuit["fuse"]["rating"]
    found = judged(plain)
    for breach, change in cures(found):
        assert change is None or change.kind not in ("area", "fuse"), (breach, change)


def test_a_system_that_states_all_is_left_alone(judged):
    found = judged(van())
    assert all(getattr(piece, "proposed", None) is None for piece in found.system.equipment.values())
    again = run(Van.of(found.van_file, found.revisions))
    assert [finding.message for finding in again] == [finding.message for finding in findings(found)]
