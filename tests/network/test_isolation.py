"""What stays live at each step to a safe van: hand-reasoned cases, and an independent graph library."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from vandoc.analysis import Van
from vandoc.model import equipment as eq
from vandoc.model.system import System
from vandoc.physics.network.graph import Joint, Network
from vandoc.physics.network.isolation import HOOK_UP, Condition, live, safest, steps
from vandoc.reading.loader import load

SITES = Path(__file__).parents[2] / "sites"


def van(name: str) -> tuple[System, Network]:
    found = Van.of(load(SITES / name / "van.yml"))
    return found.system, found.network


def changed(system: System, **update: Any) -> tuple[System, Network]:
    made = Van(system.model_copy(update=update))
    return made.system, made.network


def acts(found: tuple[System, Network]) -> list[tuple[str, tuple[str, ...]]]:
    return [(step.act, step.pieces) for step in steps(*found)]


def test_the_curlews_steps_come_in_the_safe_order():
    assert acts(van("curlew")) == [
        ("cool", ("heater",)),
        ("engine", ("alternator",)),
        ("hook-up", ("hook-up",)),
        ("inverter", ("inverter",)),
        ("isolator", ("panel-switch",)),
        ("isolator", ("isolator",)),
    ]


def test_after_the_last_step_a_battery_feeds_no_further_than_its_switch():
    system, network = van("curlew")
    last = steps(system, network)[-1].live
    assert last.pieces("house") == {"main-fuse", "isolator"}
    assert "main-board.in" not in last.terminals["house"]
    # The wire from the starter battery ends at the charger, which its ignition feed has switched off.
    assert last.pieces("starter") == {"alternator", "driving-fuse", "ignition-contact", "driving"}
    assert "driving.out" not in last.terminals["starter"]
    # Panels reach no further than the switch before their controller.
    assert last.pieces("panels") == {"panel-switch"}
    assert last.mains == ()


def test_mains_is_there_until_the_plug_is_out_and_the_inverter_off():
    found = {step.act: step.live.mains for step in steps(*van("curlew"))}
    assert found["engine"] == ("hook-up", "inverter")
    assert found["hook-up"] == ("inverter",)
    assert found["inverter"] == ()


def test_an_open_switch_takes_the_supply_from_a_running_inverter():
    system, network = van("curlew")
    condition = Condition(engine=False, hook_up=False, light=False, opened=frozenset({"isolator"}))
    assert live(system, network, condition).mains == ()


def test_without_an_ignition_feed_a_charger_may_go_on_from_the_starter_battery():
    system, _ = van("curlew")
    charger = system.equipment["driving"].model_copy(update={"ignition_feed": None})
    system, network = changed(system, equipment={**system.equipment, "driving": charger})
    assert "main-board" in live(system, network, safest(system, network)).pieces("starter")


def test_a_relay_that_sticks_keeps_circuits_live_from_the_starter_battery():
    system, network = van("wren")
    safe = safest(system, network)
    assert "board" not in live(system, network, safe).pieces("starter")
    assert "board" in live(system, network, replace(safe, stuck=True)).pieces("starter")
    assert "board" in live(system, network, replace(safe, engine=True)).pieces("starter")


def test_a_switch_in_the_negative_opens_the_return():
    system, _ = van("curlew")
    isolator = system.equipment["isolator"]
    cables = []
    for cable in system.cables:
        # The switch moves from the plus to the minus of the battery.
        start = {"isolator.out": "main-fuse.out"}.get(cable.start, cable.start)
        if cable.end == "isolator.in":
            continue
        end = "isolator.in" if (cable.start, cable.end) == ("house.-", "shunt.battery") else cable.end
        cables.append(cable.model_copy(update={"start": start, "end": end}))
    cables.append(
        system.cables[0].model_copy(update={"start": "isolator.out", "end": "shunt.battery", "id": "x"})
    )
    system, network = changed(system, cables=cables, equipment={**system.equipment, "isolator": isolator})
    safe = safest(system, network)
    before = live(system, network, replace(safe, opened=frozenset()))
    assert "seat-board" in before.pieces("house")
    assert live(system, network, safe).pieces("house") == frozenset()


def test_without_a_switch_everything_stays_live():
    system, _ = van("wren")
    switches = {"isolator": "plus", "panel-switch": "solar.pv+"}
    equipment = {key: piece for key, piece in system.equipment.items() if key not in switches}
    cables = []
    for cable in system.cables:
        if cable.start.partition(".")[0] not in switches:
            end = switches.get(cable.end.partition(".")[0], cable.end)
            cables.append(cable.model_copy(update={"end": end}))
    system, network = changed(system, equipment=equipment, cables=cables)
    assert "isolator" not in [act for act, _ in acts((system, network))]
    assert set(system.loads) <= live(system, network, safest(system, network)).pieces("house")


def test_without_a_switch_at_the_panels_they_reach_the_boards():
    system, _ = van("curlew")
    cables = [
        cable.model_copy(update={"end": "solar.pv+"}) if cable.end == "panel-switch.in" else cable
        for cable in system.cables
        if cable.start != "panel-switch.out"
    ]
    equipment = {key: piece for key, piece in system.equipment.items() if key != "panel-switch"}
    system, network = changed(system, equipment=equipment, cables=cables)
    assert {"solar", "main-board", "seat-board"} <= steps(system, network)[-1].live.pieces("panels")


def joined(network: Network, opened: set[str], start: str) -> set[str]:
    """The terminals joined to one, by connected components."""
    nodes = sorted({node for edge in network.edges() for node in (edge.start, edge.end)} | {start})
    index = {node: number for number, node in enumerate(nodes)}
    edges = [e for e in network.edges() if not (isinstance(e, Joint) and e.owner in opened)]
    rows = np.array([index[edge.start] for edge in edges])
    columns = np.array([index[edge.end] for edge in edges])
    graph = coo_array((np.ones(len(edges)), (rows, columns)), shape=(len(nodes), len(nodes)))
    _, labels = connected_components(graph, directed=False)
    return {node for node in nodes if labels[index[node]] == labels[index[start]]}


@pytest.mark.parametrize("name", ["curlew", "heron", "wren"])
def test_each_battery_reaches_what_a_graph_library_says(name):
    system, network = van(name)
    relays = {i for i, p in system.equipment.items() if isinstance(p, eq.Relay | eq.IgnitionContact)}
    for opened in (set(), {i for i, p in system.equipment.items() if isinstance(p, eq.Isolator)}):
        condition = Condition(engine=False, hook_up=False, light=False, opened=frozenset(opened))
        found = live(system, network, condition).terminals
        assert HOOK_UP not in found
        for battery in network.batteries():
            reached = joined(network, opened | relays, battery.plus)
            converters = {c.owner for c in network.consumers if c.kind == "converter" and c.plus in reached}
            for owner in converters:
                reached |= joined(network, opened | relays, f"{owner}.out")
            assert found[battery.owner] == reached


def test_each_step_only_takes_away():
    for name in ("curlew", "heron", "wren"):
        every = [step.live.all_pieces for step in steps(*van(name))]
        assert all(later <= earlier for earlier, later in pairwise(every))
