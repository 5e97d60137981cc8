"""A second model of a van, which shares no code with the product, answers the pages that the product made."""

import os
import shutil
from functools import cache
from pathlib import Path
from random import Random

import pytest

from tests.manual.manuals import manual
from tests.second_model.faults import faults
from tests.second_model.pages import Step, limits, steps
from tests.second_model.scoring import lines, wilson
from tests.second_model.spice import largest_deviation
from tests.second_model.van import SOUND, Doing, VanModel, draw_world
from tests.second_model.van_file import Drawing, read
from tests.second_model.walking import Outcome, Person

SITES = Path(__file__).parents[2] / "sites"
VANS = ("wren", "curlew", "heron")
STATES = ("in use", "driving", "sun only", "on hook-up")
MOST_FAULTS_A_CHARGE = 24


@cache
def drawing(van: str) -> Drawing:
    return read(SITES / van / "van.yml")


@cache
def pages(van: str) -> dict[str, dict[int, Step]]:
    folder = "electrician/fault/"
    return {
        path.removeprefix(folder).removesuffix(".md"): steps(str(text))
        for path, text in manual(van).files.items()
        if path.startswith(folder)
    }


def test_the_second_model_agrees_with_ngspice(tmp_path: Path) -> None:
    program = shutil.which("ngspice")
    if program is None:
        if os.environ.get("CI") == "true":
            pytest.fail("ngspice is not installed, and CI must compare with it")
        pytest.skip("ngspice is not installed")
    nets = []
    for van in VANS:
        pick = Random(van)
        some = [SOUND, *pick.sample(list(faults(drawing(van), pick)), 3)]
        for number, fault in enumerate(some):
            model = VanModel(drawing(van), draw_world(drawing(van), 60, pick), fault)
            for state in STATES[number % 2 :: 2] if number else STATES:
                on = frozenset(drawing(van).loads) if state == "in use" else frozenset()
                nets.append((model.solved(Doing(state, on)), f"{drawing(van).house}.-"))
    worst, node = largest_deviation(program, nets, tmp_path)
    print(f"{len(nets)} nets, largest deviation {worst:.2e} V at {node}")
    assert len(nets) >= 20
    assert worst < 2e-4


def test_a_sound_van_of_the_second_model_works_and_charges() -> None:
    """Its currents are those stated in the van file, and its charging voltages those recorded in it."""
    for van in VANS:
        model = VanModel(drawing(van), draw_world(drawing(van), 60, Random(5)))
        in_use = Doing("in use", frozenset(drawing(van).loads))
        assert not model.solved(in_use).stopped
        assert all(model.works(load, in_use) for load in drawing(van).loads)
        assert model.solved(in_use).battery_a < -5
        for state in ("driving", "sun only"):
            assert model.solved(Doing(state)).battery_a > 1, (van, state)


def test_what_has_cut_out_stays_off_and_a_flat_battery_stops_everything() -> None:
    van = drawing("wren")
    world = draw_world(van, 60, Random(5))
    named = {fault.name: fault for fault in faults(van, Random(1))}
    flat = VanModel(van, world, named["flat-battery"])
    weak = Doing("in use", frozenset({"cool-box"}))
    assert flat.solved(weak).across("house.+", "house.-") < 11
    assert not flat.works("cool-box", weak)
    assert "cool-box" in flat.solved(weak).stopped
    assert flat.solved(weak).drawn_a.get("cool-box", 0.0) == 0.0


def test_the_reader_of_pages_takes_limits_as_they_are_printed() -> None:
    assert limits("254 mV to 10.44 V: too high") == [0.254, 10.44]
    assert limits("1.84 to 11.91 V: low") == [1.84, 11.91]
    assert limits("Below 1.93\u00a0V: no voltage") == [1.93]
    assert limits("No, it has blown") == []


def test_every_step_of_every_page_states_what_it_asks_and_leads_on() -> None:
    for symptom, page in pages("wren").items():
        for step in page.values():
            assert step.ask or step.end or step.choices, (symptom, step.number)
            assert not step.ask or step.at or step.ask == "gates", (symptom, step.number)
            assert all(choice.onward in page for choice in step.choices if choice.onward)
            places = [limits(one.words) for one in step.choices if step.ask and not one.key and not one.found]
            assert all(one == sorted(one) for one in places)


def test_the_ids_of_a_step_are_those_of_the_parts_in_its_words() -> None:
    van = drawing("wren")
    things = {**van.pieces, **van.loads}
    asked = ("loss", "volts", "back-volts", "drop", "joint-drop", "works", "light")
    compared = 0
    for symptom, page in pages("wren").items():
        for step in page.values():
            name = things.get(step.at[0].partition(".")[0], {}).get("name") if step.ask in asked else None
            if name is not None:
                assert name in " ".join(step.heading.split()), (symptom, step)
                compared += 1
    assert compared > 300


def sample(van: str, charge: float) -> list[Outcome]:
    pick = Random(f"{van} {charge}")
    every = list(faults(drawing(van), pick))
    walks = []
    for fault in pick.sample(every, MOST_FAULTS_A_CHARGE):
        person = Person(drawing(van), draw_world(drawing(van), charge, pick), fault, pick)
        walks += [person.walk(one, pages(van)[one]) for one in person.looks_up(pages(van))]
        assert not person.odd, person.odd
    return walks


def test_pages_of_what_stopped_lead_a_second_model_to_its_faults() -> None:
    """A sample of one van; the whole list at every charge is a benchmark."""
    walks = [one for charge in (30, 60) for one in sample("wren", charge)]
    print("\n".join(lines("wren", walks)))
    stopped = [one for one in walks if one.symptom.startswith(("stopped", "all-dead"))]
    located, _, _ = wilson(sum(one.located for one in stopped), len(stopped))
    wrong = [one for one in stopped if one.result == "wrong"]
    assert len(stopped) >= 20
    assert located >= 90
    assert len(wrong) <= 1, wrong
