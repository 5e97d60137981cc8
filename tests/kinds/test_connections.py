"""Connector, terminal block, dimmer, fuse tap, combiner, step-up converter and breaker curve, in one van."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.faults import faults
from vandoc.analysis.diagnosis.proof import Prover
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.doors.build import write_manual
from vandoc.ground.calc.breaker import sure_instant_a
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book
from vandoc.paper.labels.content import labels
from vandoc.physics.network.states import OperatingState
from vandoc.reading.loader import load

FILE = Path(__file__).parents[1] / "vans/pairs/vans/wired.yml"
NEW = (eq.Connector, eq.TerminalBlock, eq.Dimmer, eq.FuseTap, eq.Combiner)


@pytest.fixture(scope="module")
def van():
    return Van.of(load(FILE))


@pytest.fixture(scope="module")
def pages(van):
    return {path: str(text) for path, text in write_manual(van).files.items()}


def test_lamps_behind_a_dimmer_a_connector_and_a_block_are_one_chain(van):
    found = {c.id: (c.start, c.end) for c in van.network.conductors.values() if c.circuit == "lamps"}
    assert found == {
        "lamps supply": ("board.1", "dimmer.in"),
        "lamps supply 2": ("dimmer.out", "plug.in"),
        "lamps supply 3": ("plug.out", "block"),
        "lamps supply 4": ("block", "left.+"),
        "lamps supply 5": ("block", "right.+"),
        "lamps return": ("left.-", "minus"),
        "lamps return 2": ("right.-", "minus"),
    }


def test_a_dimmer_carries_all_its_lamps(van):
    """Two lamps of 10 W at 12 V."""
    assert van.amps(van.network.joints["dimmer switch"]) == pytest.approx(20 / 12, rel=1e-6)


def test_a_combiner_adds_the_currents_of_its_strings(van):
    """Two panels of 6 A short-circuit current, each with a fuse of its own."""
    assert {fuse.id for fuse in van.network.fuses.values() if fuse.family == "gPV"} == {
        "combiner.1",
        "combiner.2",
    }
    inlet = next(c for c in van.network.consumers if c.owner == "solar")
    assert inlet.amps_a == pytest.approx(12.0)


def test_a_converter_steps_up(van):
    """24 W at 24 V, taken from 12 V with the usual efficiency."""
    solved = van.solved[OperatingState.EVERYTHING]
    assert solved.across_v("screen.+", "screen.-") == pytest.approx(24.0, abs=0.3)
    assert abs(solved.amps["up-in"]) > 24 / 13


def test_a_curve_tells_when_a_breaker_trips_at_once():
    """IEC 60898-1 type B, C and D: 5, 10 and 20 times; with direct current half as much again."""
    assert [sure_instant_a(curve, 10).amps_a for curve in "BCD"] == [75, 150, 300]
    assert sure_instant_a("C", 10).within_s == 0.1
    with pytest.raises(ValueError, match="the curve must be known"):
        sure_instant_a("K", 10)


def test_a_breaker_shows_what_it_is(van, pages):
    made = {label.title: [line.text for line in label.lines] for label in labels(Book(van), draft=False)}
    assert made["inverter breaker"] == [
        "100 A, breaker",
        "thermal and magnetic release, curve C",
        "reset by hand",
        "Tripped: lever not at on, or button out.",
        "Reset it once. If it trips again, leave it off.",
    ]
    assert "Wait five minutes." in pages["fuse/breaker.md"]
    assert van.network.fuses["breaker"].by_maker.opens_at_a == 1500


@pytest.mark.parametrize("kind", NEW, ids=lambda kind: kind.__name__)
def test_each_has_a_page_and_is_drawn(kind, pages, van):
    ident = next(ident for ident, piece in van.system.equipment.items() if isinstance(piece, kind))
    assert kind.words()["name"] in pages[f"electrician/piece/{ident}.md"].lower()
    drawn = [path for path, text in pages.items() if f'id="part-{ident}"' in text or van.name(ident) in text]
    assert [path for path in drawn if path.startswith("electrician/diagram-")]


def test_each_of_their_faults_is_found(van):
    found = {(fault.kind, fault.cause.part) for fault in faults(van.system, van.network)}
    assert {("joint-poor", "plug"), ("left-off", "dimmer"), ("fuse-blown", "tap")} <= found
    proof = Prover(Diagnosis(van)).prove(draws=1)
    assert (proof.lost, proof.early) == ((), ())


def test_a_breaker_tells_how_it_looks_when_tripped_and_that_it_is_reset_once(van, pages):
    """On its page, on the card and on its label; a fuse's page says nothing of it."""
    page = pages["fuse/breaker.md"]
    assert "A breaker that has tripped: its lever is not at on" in page
    assert "Once only" in page
    assert "If it trips again, leave it off" in page
    assert "tripped" not in pages["fuse/main-fuse.md"]
    assert "If it trips again, leave it off" in pages["card.html"]
    made = {label.title: [line.text for line in label.lines] for label in labels(Book(van), draft=False)}
    assert made["inverter breaker"][-2:] == [
        "Tripped: lever not at on, or button out.",
        "Reset it once. If it trips again, leave it off.",
    ]
