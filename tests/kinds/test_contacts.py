"""Ignition contact, circuit breaker, load disconnect, changeover switch and vehicle converter, in one van."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.faults import faults
from vandoc.analysis.diagnosis.proof import Prover
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.doors.build import write_manual
from vandoc.judgement.history.labels import stale_labels
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book
from vandoc.paper.labels.content import labels
from vandoc.physics.network import isolation
from vandoc.physics.network.states import OperatingState
from vandoc.reading.loader import load

FILE = Path(__file__).parents[1] / "vans/pairs/vans/driven.yml"
NEW = (
    eq.IgnitionContact,
    eq.CircuitBreaker,
    eq.LoadDisconnect,
    eq.ChangeoverSwitch,
)


def van_of(tmp_path, *changes):
    text = FILE.read_text("utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = tmp_path / "van.yml"
    path.write_text(text, "utf-8")
    return Van.of(load(path))


@pytest.fixture(scope="module")
def van():
    return Van.of(load(FILE))


@pytest.fixture(scope="module")
def pages(van):
    return {path: str(text) for path, text in write_manual(van).files.items()}


def test_the_ignition_wire_is_live_only_while_the_engine_runs(van):
    running = isolation.live(van.system, van.network, isolation.Condition())
    parked = isolation.live(van.system, van.network, isolation.Condition(engine=False))
    assert "driving.ignition" in running.terminals["starter"]
    assert "driving.ignition" not in parked.terminals["starter"]
    assert "ignition.in" in parked.terminals["starter"]


def test_the_driving_charger_works_only_while_driving(van):
    """30 A into the leisure side is what its label says."""
    assert van.solved[OperatingState.DRIVING].device_amps["driving"] == pytest.approx(30, rel=0.5)
    assert "driving" not in van.solved[OperatingState.NIGHT].device_amps


def test_a_breaker_protects_as_a_fuse_and_opens_as_a_switch(van):
    assert van.network.fuses["breaker"].rating_a == 120
    assert van.network.joints["breaker breaker"].end == van.network.fuses["breaker"].start
    opened = isolation.Condition(engine=False, hook_up=False, light=False, opened=frozenset({"breaker"}))
    assert "inverter" not in isolation.live(van.system, van.network, opened).all_pieces


def test_a_breaker_made_to_isolate_can_be_the_main_switch(tmp_path):
    van = van_of(
        tmp_path,
        (
            "breaking: 5 kA, torque: 4 N·m}\n  inverter",
            "breaking: 5 kA, isolates: true, torque: 4 N·m}\n  inverter",
        ),
    )
    assert "breaker" in isolation.first_isolators(van.system, van.network)


def test_a_changeover_switch_connects_one_way_only(van, tmp_path):
    other = van_of(tmp_path, ("position: a", "position: b"))
    assert van.network.joints["changeover changeover"].end == "changeover.a"
    assert other.network.joints["changeover changeover"].end == "changeover.b"
    everything = OperatingState.EVERYTHING
    # 72 W at 12 V, and a little more for the drop in 6 m of cable
    assert van.solved[everything].device_amps["converter"] == pytest.approx(72 / 12, rel=0.05)
    assert other.solved[everything].device_amps["converter"] == pytest.approx(0, abs=1e-3)


def test_the_converter_of_an_electric_vehicle_holds_its_own_voltage(tmp_path):
    van = van_of(
        tmp_path,
        (
            "kind: alternator, name: alternator, place: engine, rating: 140 A, regulation: smart,",
            "kind: vehicle-converter, name: base, place: engine, rating: 140 A, output_voltage: 14 V,",
        ),
    )
    driving = van.solved[OperatingState.DRIVING]
    assert driving.across_v("alternator.+", "alternator.-") == pytest.approx(14.0, abs=0.3)
    assert write_manual(van).files


@pytest.mark.parametrize("kind", NEW, ids=lambda kind: kind.__name__)
def test_each_has_a_symbol_a_page_and_words(kind, pages, van):
    (ident,) = [ident for ident, piece in van.system.equipment.items() if isinstance(piece, kind)]
    name = van.name(ident)
    assert kind.words()["name"] in pages[f"electrician/piece/{ident}.md"].lower()
    drawn = "".join(text for text in pages.values() if f"symbol {kind.kind_name()}" in text)
    assert drawn
    assert name in drawn


def test_a_breaker_is_reset_and_never_replaced(pages):
    page = pages["fuse/breaker.md"]
    assert "Reset the breaker" in page
    assert "push in a new fuse" not in page
    assert "inverter breaker" not in pages["lists/spares.csv"]


def test_each_of_their_faults_is_found(van):
    found = {(fault.kind, fault.cause.part) for fault in faults(van.system, van.network)}
    assert {("left-off", "breaker"), ("stuck-open", "disconnect"), ("stuck-open", "ignition")} <= found
    assert ("fuse-blown", "breaker") not in found
    proof = Prover(Diagnosis(van)).prove(draws=1)
    assert (proof.lost, proof.early) == ((), ())
    parts = {ident for ident, piece in van.system.equipment.items() if isinstance(piece, NEW)}
    assert not [fault for fault in proof.silent if fault.partition(" ")[2] in parts]


def test_a_breaker_a_disconnect_and_a_changeover_switch_have_labels(van):
    made = {label.title: [line.text for line in label.lines] for label in labels(Book(van), draft=False)}
    assert made["inverter breaker"][0].startswith("120 A")
    assert made["load disconnect"] == ["60 A", "opens at 11.5 V"]
    assert made["screen changeover"] == ["20 A", "usually at a"]


def test_a_changed_setting_makes_a_label_stale(van, tmp_path):
    now = van_of(tmp_path, ("opens: 11.5 V", "opens: 11.8 V"))
    stale = stale_labels(van.system, van.sizing, now.system, now.sizing)
    assert [(label.kind, label.name) for label in stale] == [("contact", "disconnect")]


def test_the_electrician_sees_what_each_device_gets_while_it_starts(pages):
    rows = [line for line in pages["electrician/states.md"].splitlines() if line.startswith("|")]
    heater = next(line for line in rows if line.startswith("| Diesel heater | 10 | 90 |"))
    assert heater.endswith("| 10.50 | stated |")
    pump = next(line for line in rows if line.startswith("| Water pump | 20 | 1 |"))
    assert pump.endswith("| usual for its kind |")
