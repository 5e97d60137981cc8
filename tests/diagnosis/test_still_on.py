"""A contact that is off and does not switch off: what is seen of it, and that its tree finds it."""

import pytest

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.problem import QuestionNode
from vandoc.analysis.diagnosis.proof import Prover
from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.analysis.diagnosis.trees import tree
from vandoc.analysis.diagnosis.trial import Activity, NetworkChange, Trial
from vandoc.reading.loader import load

BOX = "place: box, rating: 100 A"
VAN = """
van: {name: Test, nominal: 12 V, size: {length: 6 m, width: 2 m, driver: left}, invented: true}
workshop: {name: Test workshop}
places: {box: {label: in the box, at: {back: 1 m, across: 1 m}}}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 100 Ah}
  board: {kind: fuse-board, name: board, place: box, family: C, rows: 1, columns: 4}
%(pieces)s
loads:
  pump: {name: water pump, place: box, current: 5 A}
  lamp: {name: lamp, place: box, current: 2 A, importance: lighting}
cables:
%(cables)s
circuits:
  - {id: water, fuse: {board: board, position: 1}, cable: {length: 2 m}, load: pump, return: house.-%(way)s}
  - {id: light, fuse: {board: board, position: 2}, cable: {length: 2 m}, load: lamp, return: house.-}
"""


def cable(start: str, end: str, area: str = "35 mm²") -> str:
    return f"  - {{from: {start}, to: {end}, length: 1 m, area: {area}}}"


def pieces(**kinds: str) -> str:
    return "\n".join(f"  {name}: {{name: {name}, {BOX}, kind: {kind}}}" for name, kind in kinds.items())


SWITCH = (pieces(cock="switch"), cable("house.+", "board.in"), ", switch: cock")
SERIES = (
    pieces(first="isolator", second="isolator"),
    "\n".join(
        cable(*ends)
        for ends in (("house.+", "first.in"), ("first.out", "second.in"), ("second.out", "board.in"))
    ),
    "",
)
BESIDE = (
    pieces(left="isolator", right="isolator"),
    "\n".join(
        cable(*ends)
        for side in ("left", "right")
        for ends in (("house.+", f"{side}.in"), (f"{side}.out", "board.in"))
    ),
    "",
)
RELAY = (
    pieces(relay="relay, purpose: load"),
    "\n".join((cable("house.+", "relay.a"), cable("relay.b", "board.in"))),
    "",
)
PANEL = (
    pieces(breaker="isolator")
    + """
  panel: {kind: solar-array, name: panel, place: box, power: 100 W, voc: 22 V, isc: 6 A, vmp: 18 V}
  solar:
    kind: charger
    name: controller
    place: box
    source: solar
    output: 10 A
    profile: {absorption: 14.4 V, float: 13.6 V}""",
    "\n".join(
        cable(*ends, "6 mm²")
        for ends in (
            ("house.+", "board.in"),
            ("panel.+", "breaker.in"),
            ("breaker.out", "solar.pv+"),
            ("panel.-", "solar.pv-"),
            ("solar.out", "house.+"),
            ("solar.-", "house.-"),
        )
    ),
    "",
)


@pytest.fixture
def van(tmp_path):
    def make(pieces: str, cables: str, switch: str) -> Diagnosis:
        path = tmp_path / "van.yml"
        path.write_text(VAN % {"pieces": pieces, "cables": cables, "way": switch}, "utf-8")
        return Diagnosis(Van.of(load(path)))

    return make


def causes(diagnosis: Diagnosis) -> dict[str, set[str]]:
    cases = (case for case in diagnosis.cases() if case.symptom.kind in ("still-on", "still-charging"))
    return {case.symptom.subject: {cause.id for cause in case.problem.causes} for case in cases}


def test_only_devices_that_a_contact_switches_stay_on_with_it(van):
    """By hand: the cock is before the pump alone, so the lamp burns whether the cock is off or not."""
    bench = van(*SWITCH).bench
    off = Trial(Activity.USE, ("cock switch",))
    assert bench.healthy(off).amps_of("pump") == pytest.approx(0.0, abs=1e-9)
    assert bench.healthy(off).amps_of("lamp") == pytest.approx(
        bench.healthy(Trial.USE).amps_of("lamp"), rel=0.01
    )
    stuck = bench.solve(off, NetworkChange(closed=frozenset({"cock switch"})))
    assert stuck.amps_of("pump") == pytest.approx(bench.healthy(Trial.USE).amps_of("pump"))


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (SWITCH, {"cock": {"left-on cock", "stuck-closed cock"}}),
        (RELAY, {"relay": {"stuck-closed relay"}}),  # no hand sets it
        (SERIES, {one: {f"left-on {one}", f"stuck-closed {one}"} for one in ("first", "second")}),
        (
            BESIDE,  # both must be off before anything stops, and either may be to blame
            {
                one: {"left-on left", "stuck-closed left", "left-on right", "stuck-closed right"}
                for one in ("left", "right")
            },
        ),
        (PANEL, {"breaker": {"left-on breaker", "stuck-closed breaker"}}),  # the sun still charges
    ],
    ids=["switch", "relay", "in series", "side by side", "before the panel"],
)
def test_causes_of_a_device_that_does_not_switch_off(van, made, expected):
    diagnosis = van(*made)
    assert causes(diagnosis) == expected
    proof = Prover(diagnosis).prove(draws=1)
    assert (proof.lost, proof.early) == ((), ())
    assert not {cause for cause in proof.silent if cause.startswith(("stuck-closed", "left-on"))}


def test_every_hand_switch_and_isolator_of_the_demo_vans_may_stick_either_way(diagnoses):
    for diagnosis in diagnoses.values():
        found = {fault.cause.id for fault in diagnosis.faults}
        contacts = [c.owner for c in diagnosis.network.joints.values() if c.kind in ("switch", "isolator")]
        assert contacts
        assert causes(diagnosis).keys() == set(contacts)
        for contact in contacts:
            assert {
                f"{kind} {contact}" for kind in ("stuck-open", "stuck-closed", "left-off", "left-on")
            } <= found


def test_a_relay_between_the_batteries_feeds_what_the_isolator_should_switch_off(diagnoses):
    """The starter battery of this van joins the bar behind the isolator, as its drawing shows."""
    assert causes(diagnoses["wren"])["isolator"] == {
        "left-on isolator",
        "stuck-closed isolator",
        "stuck-closed relay",
    }


def test_an_owner_looks_at_the_switch_and_an_electrician_measures_across_it(diagnoses):
    (problem,) = [
        case.problem for case in diagnoses["wren"].cases() if case.symptom.id == "still-on isolator"
    ]
    owner, electrician = (tree(problem, reader).start for reader in ("owner", "electrician"))
    for start in (owner, electrician):
        assert isinstance(start, QuestionNode)
        assert start.question.kind == "position-off"
    assert isinstance(electrician, QuestionNode)
    after = dict(electrician.branches)["off"]
    assert isinstance(after, QuestionNode)
    assert after.question.kind == "open-contact"
    assert after.question.reader == "electrician"
