"""Sampled worlds: every quantity inside its range, per cell, the same for one seed; cut-outs stay off."""

from dataclasses import replace
from random import Random

import pytest

from tests.diagnosis.conftest import NAMES
from tests.manual.manuals import judged
from vandoc.analysis.diagnosis.field.met import MetVan, size_drawn
from vandoc.analysis.diagnosis.field.world_bench import WorldBench
from vandoc.analysis.diagnosis.field.worlds import worlds
from vandoc.analysis.diagnosis.trial import Activity, NetworkChange, Trial

MANY = 60


@pytest.mark.parametrize("van", NAMES)
def test_the_same_seed_gives_the_same_worlds_and_another_seed_others(diagnoses, van):
    diagnosis = diagnoses[van]
    one, same, other = (worlds(diagnosis.van, seed, 3) for seed in (1, 1, 2))
    assert one == same
    assert one != other
    assert worlds(diagnosis.van, 1, 2) == one[:2]  # a world does not depend on the others


@pytest.mark.parametrize("van", NAMES)
def test_worlds_range_as_widely_as_they_should(diagnoses, van):
    """Charge 15 to 97 %, the alternator 13.7 to 14.6 V or 12.5 to 13.5 V for 14.4 V (own choice)."""
    diagnosis = diagnoses[van]
    drawn = worlds(diagnosis.van, 7, MANY)
    charges = [charge for world in drawn for charge in world.charge_percent.values()]
    assert 15 <= min(charges) < 25
    assert 88 < max(charges) <= 97
    for world in drawn:
        low, high = (12.5, 13.5) if world.resting else (13.7, 14.6)
        assert low - 0.01 <= 14.4 * world.alternator_share <= high + 0.01
        assert all(0.3 <= one <= 1.1 for one in (world.sun, *world.drawn.values()))
        assert all(0.96 <= one <= 1.05 for one in world.cut_out.values())
        assert world.on <= set(diagnosis.system.loads)
    smart = van == "curlew"
    assert any(world.resting for world in drawn) == smart


def test_rest_voltages_are_those_of_the_tables_per_cell(diagnoses):
    """Wren: AGM, 11.8 to 12.8 V (BCI, from memory) and 0.06 V either way. Heron: LiFePO4, 24 V, 8 cells."""
    for van, low, high in (("wren", 11.74, 12.86), ("heron", 8 * 2.5, 8 * 3.45)):
        diagnosis = diagnoses[van]
        (leisure,) = diagnosis.system.leisure
        volts = [world.rest_v[leisure] for world in worlds(diagnosis.van, 7, MANY)]
        assert low <= min(volts) < max(volts) <= high
        assert max(volts) - min(volts) > 0.3


def test_a_half_full_lithium_battery_does_not_rest_as_high_as_a_full_one(diagnoses):
    """Curlew: LiFePO4, four cells, 20 to 80 %: 12.8 to 13.5 V at rest (common practice, no source)."""
    drawn = worlds(diagnoses["curlew"].van, 7, MANY)
    volts = [one.rest_v["house"] for one in drawn if 20 < one.charge_percent["house"] < 80]
    assert len(volts) > MANY / 3
    assert 12.7 < min(volts) < max(volts) < 13.6


def test_a_load_that_has_cut_out_draws_nothing_and_stays_off():
    """Wren's cool box stops below 10.8 V: with 1 ohm in its supply it would get 9 V while it runs."""
    van = judged("wren")
    (world,) = worlds(van, 3, 1)
    bench = WorldBench(van, replace(world, rest_v={**world.rest_v, "house": 12.3}))
    trial = Trial(Activity.USE, on=("cool-box",))
    sound = bench.solve(trial, NetworkChange())
    assert sound.amps_of("cool-box") > 2
    cut = bench.solve(trial, NetworkChange({"cool-box supply": 1.0}))
    assert cut.amps_of("cool-box") == 0.0
    assert "cool-box" in cut.stopped
    assert cut.across_v("cool-box.+", "cool-box.-") == pytest.approx(
        cut.across_v("house.+", "house.-"), abs=0.1
    )


def test_a_van_that_is_met_is_seen_and_measured_in_its_world(diagnoses):
    """A cut cable to Wren's pump: it has stopped, its fuse is good, and no voltage arrives (by hand)."""
    diagnosis = diagnoses["wren"]
    (world,) = worlds(diagnosis.van, 3, 1)
    (fault,) = (one for one in diagnosis.faults if one.cause.id == "cable-open water supply")
    pick = Random(1)
    met = MetVan(WorldBench(diagnosis.van, world), ((fault, size_drawn(fault, pick)),), pick)
    (case,) = (one for one in diagnosis.cases() if one.symptom.id == "stopped pump")
    assert met.shows(case.symptom)
    assert not MetVan(met.bench, (), pick).shows(case.symptom)
    seen = {met.answer(case.observations[key]) for key in case.observations if key.startswith("fuse-look")}
    assert seen == {"intact"}
    (across,) = (one for key, one in case.observations.items() if key.startswith("loss pump.+ pump.-"))
    assert met.answer(across) == "nothing"
