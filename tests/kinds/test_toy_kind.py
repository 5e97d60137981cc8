"""A kind of equipment from outside the package goes through check, build, prove and print."""

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.kinds.run_on_timer import RunOnTimer
from vandoc.analysis.diagnosis.faults import faults
from vandoc.analysis.diagnosis.proof import Prover
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.doors.build import print_paper, read, write_manual
from vandoc.judgement.checks import run
from vandoc.model.kinds import with_kind
from vandoc.paper.printing import LabelOptions
from vandoc.physics.network import isolation
from vandoc.physics.network.states import OperatingState

FILE = Path(__file__).with_name("van.yml")


@pytest.fixture(scope="module")
def van():
    with with_kind(RunOnTimer):
        yield read(FILE)


def test_its_contact_and_its_draw_are_in_the_network(van):
    assert van.network.joints["timer switch"].end == "timer.out"
    (drawn,) = [one for one in van.network.consumers if one.owner == "timer"]
    assert (drawn.plus, drawn.minus, drawn.amps_a) == ("timer.in", "timer.-", 0.02)
    night = van.solved[OperatingState.NIGHT]
    assert night.device_amps["timer"] == pytest.approx(0.02)


def test_it_is_checked_as_our_own_kinds_are(van):
    """Ohm's law, worked by hand: 24 W at 12 V and 20 mA together need more than a 2 A fuse."""
    assert not [one for one in run(van) if one.severity == "fail"]
    assert van.sizing.fuses["board.2"].rating_a > 24 / 12 + 0.02


def test_it_is_dead_once_the_isolator_is_open(van):
    before, *_, last = [
        isolation.live(van.system, van.network, isolation.Condition()),
        *(step.live for step in isolation.steps(van.system, van.network)),
    ]
    assert "timer" in before.all_pieces
    assert "timer" not in last.all_pieces


def test_each_of_its_faults_is_found(van):
    mine = {fault.kind for fault in faults(van.system, van.network) if fault.cause.part == "timer"}
    assert {"dead", "left-off", "left-on", "stuck-open", "stuck-closed", "contact-poor"} <= mine
    proof = Prover(Diagnosis(van)).prove(draws=1)
    assert [walk for walk in proof.walks if "timer" in str(walk)]
    assert (proof.lost, proof.early) == ((), ())
    assert not [fault for fault in proof.silent if "timer" in fault]


def test_pages_name_it_and_draw_its_symbol(van):
    files = {path: str(text) for path, text in write_manual(van).files.items()}
    page = files["electrician/piece/timer.md"]
    assert "run-on timer" in page
    assert "current for itself" in page.lower()
    assert "run-on timer" in files["electrician/equipment.md"]
    drawn = "".join(text for text in files.values() if "symbol run-on-timer" in text)
    assert "M 24 24 V 18 H 29" in drawn
    assert "10 A, timed" in drawn


def test_labels_are_printed(van):
    """The label on the cable that feeds it says where it leads."""
    files = print_paper(van, ("labels",), LabelOptions()).files
    (labels,) = [content for name, content in files.items() if name.endswith(".pdf")]
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(labels)).pages)
    assert "fan timer" in " ".join(text.split())
