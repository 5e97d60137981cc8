"""What is asked before anything is measured: by hand for each kind of symptom, in a practised order."""

import re

import pytest

from tests.diagnosis.conftest import NAMES
from vandoc.analysis.diagnosis.gates import GATES, IN_ORDER, LOW, with_gates
from vandoc.analysis.diagnosis.problem import EndNode, QuestionNode
from vandoc.analysis.diagnosis.repairs import NO_CHANGE, REPAIRED
from vandoc.analysis.diagnosis.trees import Tree
from vandoc.model.wiring import Load

# Common practice, no source: what costs nothing and is no fault first, then the battery, mains, sun and cold.
ORDER = [
    "still-so",
    "others",
    "own-switch",
    "own-setting",
    "dimmed",
    "overload",
    "vehicle",
    "left-running",
    "never-full",
    "off",
    "needs",
    LOW,
    "works-alone",
    "percentage",
    "outside",
    "no-sun",
    "resting",
    "cold",
    "full",
]


@pytest.fixture(scope="module")
def problems(diagnoses):
    return {name: {case.symptom.id: case.problem for case in diagnoses[name].cases()} for name in NAMES}


@pytest.mark.parametrize(
    ("van", "symptom", "expected"),
    [
        ("curlew", "stopped pump", ["still-so", "others", "own-switch", "needs-water", LOW, "works-alone"]),
        (
            "curlew",
            "stopped heater",
            ["still-so", "others", "own-switch", "needs-fuel", "needs-reset", LOW, "works-alone"],
        ),
        ("curlew", "stopped cab-socket", ["still-so", "others", "own-switch", LOW, "works-alone"]),
        ("curlew", "weak ceiling-lights", ["still-so", "dimmed", LOW]),
        ("curlew", "cuts-out inverter", ["still-so", "overload", LOW]),
        ("curlew", "half-dead galley-board", ["still-so", "others", "off isolator", LOW]),
        ("curlew", "slow pump", ["still-so", "own-setting", "needs-water", LOW, "works-alone"]),
        ("curlew", "flat-fast house", ["left-running", "never-full", "percentage"]),
        ("wren", "flat-fast house", ["left-running", "never-full"]),  # no monitor that could be wrong
        ("curlew", "starter-flat starter", ["vehicle"]),
        ("curlew", "all-dead", ["still-so", "off isolator", LOW]),
        (
            "curlew",
            "not-charging driving",
            ["still-so", "off isolator", "resting", "cold", "full"],
        ),  # a smart alternator
        ("curlew", "not-charging on hook-up", ["still-so", "off isolator", "outside", "cold", "full"]),
        (
            "curlew",
            "not-charging sun only",
            ["still-so", "off isolator", "off panel-switch", "no-sun", "cold", "full"],
        ),
        ("curlew", "never-full house", ["off isolator", "off panel-switch", "cold"]),
        (
            "wren",
            "stopped pump",
            ["still-so", "others", "own-switch", "needs-water", LOW, "works-alone"],
        ),  # by its voltmeter
        ("wren", "stopped cool-box", ["still-so", "others", "own-switch", LOW, "works-alone"]),
        (
            "wren",
            "not-charging driving",
            ["still-so", "off isolator"],
        ),  # fixed alternator, lead-acid, no monitor
        ("wren", "not-charging sun only", ["still-so", "off isolator", "off panel-switch", "no-sun"]),
    ],
)
def test_the_gates_of_a_symptom_by_hand(problems, van, symptom, expected):
    asked = problems[van][symptom].gates
    assert asked.kind == GATES
    assert asked.reader == "owner"
    assert list(asked.answers) == [*expected, IN_ORDER]


@pytest.mark.parametrize("van", NAMES)
def test_gates_come_in_the_order_of_practice(problems, van):
    for problem in problems[van].values():
        if problem.gates is not None:
            places = [
                ORDER.index(re.split(r"-(?=water|fuel|gas|level|reset|anything)| ", answer)[0])
                for answer in problem.gates.answers[:-1]
            ]
            assert places == sorted(places), problem.symptom


def test_a_low_battery_is_charged_and_then_the_tree_goes_on(problems):
    problem = problems["wren"]["stopped pump"]
    tree = EndNode(problem.causes)
    start = with_gates(problem, "owner", Tree(tree, 0.0, 0.0, True, ())).start
    assert isinstance(start, QuestionNode)
    branches = dict(start.branches)
    assert branches[IN_ORDER] is tree
    assert branches["needs-water"] == EndNode((), "needs-water")
    after = dict(branches[LOW].branches)
    assert [cause.id for cause in after[REPAIRED].causes] == ["flat house"]
    assert after[NO_CHANGE] is tree


@pytest.mark.parametrize(
    ("stated", "expected"),
    [
        ({"starts_as": "pump"}, ("water",)),
        ({"starts_as": "glow-plug"}, ("fuel",)),
        ({"starts_as": "compressor"}, ()),
        ({"importance": "lighting"}, ()),
        ({"shows_voltage": True}, ()),
        ({"starts_as": "motor"}, None),
        ({}, None),  # unknown: people are asked about anything that it may lack
        ({"starts_as": "pump", "needs": ["water", "level"]}, ("water", "level")),
        ({"needs": []}, ()),
    ],
)
def test_what_a_load_needs_besides_current(stated, expected):
    load = Load.model_validate({"name": "thing", "place": "box", "current": "1 A", **stated})
    assert load.needed() == expected


def test_a_switch_that_is_off_is_switched_on_and_then_the_tree_goes_on(problems):
    """In the order of practice it comes before the battery; it is found with its cause."""
    problem = problems["curlew"]["all-dead"]
    tree = EndNode(problem.causes)
    branches = dict(with_gates(problem, "owner", Tree(tree, 0.0, 0.0, True, ())).start.branches)
    after = dict(branches["off isolator"].branches)
    assert [cause.id for cause in after[REPAIRED].causes] == ["left-off isolator"]
    assert after[NO_CHANGE] is tree


@pytest.mark.parametrize(
    ("stated", "expected"),
    [
        ({"starts_as": "pump"}, True),
        ({"starts_as": "motor"}, True),
        ({"start": "18 A"}, False),  # it may be electronics with capacitors at their input
        ({"starts_as": "compressor"}, False),  # it cuts out
        ({}, False),
        ({"importance": "lighting"}, False),  # that is dim
        ({"power": "12 W", "behaves": "power", "starts_as": "motor"}, False),
    ],
)
def test_what_runs_slowly(stated, expected):
    load = {"name": "thing", "place": "box", **({} if "power" in stated else {"current": "1 A"}), **stated}
    assert Load.model_validate(load).runs_slowly() == expected
