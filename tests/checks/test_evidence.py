"""A figure from the manufacturer's document is evidence: it clears its review, and nothing less does."""

import pytest

from tests.checks.test_rules import FAULTS

SHEET = "data sheet of the fuse, issue 3"
HOUSE = {("equipment", "house", "resistance"): "5 mΩ"}  # 12.8 V / 5 mΩ = 2.6 kA at the main fuse, above 2 kA


def piece(ident, **keys):
    return {("equipment", ident, key): value for key, value in keys.items()}


def of(judged, rule, subject):
    return [finding for finding in judged.of(rule) if finding.subject == subject]


def test_a_breaking_capacity_is_proved_by_the_document_that_states_it(spoil):
    typed = HOUSE | piece("main-fuse", breaking="5 kA")
    (found,) = of(spoil(typed), "breaking-capacity-unproven", "main-fuse")
    assert found.severity == "review"
    proved = spoil(typed | piece("main-fuse", figures_from=SHEET))
    assert not of(proved, "breaking-capacity-unproven", "main-fuse")
    assert not of(proved, "breaking-capacity", "main-fuse")


def test_a_document_does_not_help_a_figure_that_is_too_small(spoil):
    judged = spoil(HOUSE | piece("main-fuse", breaking="2 kA", figures_from=SHEET))
    (found,) = of(judged, "breaking-capacity", "main-fuse")
    assert found.severity == "fail"


@pytest.mark.parametrize(
    ("keys", "cleared"),
    [
        ({}, False),
        ({"conditional": "6 kA"}, False),  # no document
        ({"figures_from": SHEET}, False),  # no figure
        ({"conditional": "6 kA", "figures_from": SHEET}, True),
        ({"conditional": "1.1 kA", "figures_from": SHEET}, False),  # below the current
    ],
)
def test_back_up_protection_is_proved_by_the_conditional_current_of_the_document(keys, cleared, spoil):
    fault = next(f for f in FAULTS if f.rule == "breaking-capacity-backed-up")
    judged = spoil({**fault.changes, **piece(fault.subject, **keys)})
    assert bool(of(judged, fault.rule, fault.subject)) is not cleared


def curve(at, within):
    return piece("main-fuse", family="class-T", voltage="125 V", opens={"at": at, "within": within})


def end_of(judged, owner):
    return judged.van.faults.at_end[owner]


def test_the_operating_time_of_the_manufacturer_holds_from_its_current_on(spoil):
    """Type class-T has no published gates, so that only the curve of its manufacturer tells its time."""
    unknown = spoil(piece("main-fuse", family="class-T", voltage="125 V"))
    owner = next(
        o for o, e in unknown.van.faults.at_end.items() if e.fuses and e.fuses[0].link.id == "main-fuse"
    )
    fuse = end_of(unknown, owner).fuses[0]
    assert fuse.at_smallest is None
    known = end_of(spoil(curve(f"{fuse.smallest_a - 1:.0f} A", "20 ms")), owner).fuses[0]
    assert known.at_smallest.longest_s == pytest.approx(0.02)
    assert known.at_largest.longest_s == pytest.approx(0.02)
    above = end_of(spoil(curve(f"{fuse.largest_a + 500:.0f} A", "20 ms")), owner).fuses[0]
    assert above.at_smallest is None


def test_a_curve_never_makes_a_type_slower_than_its_gates(spoil):
    by_type = end_of(spoil({}), "driving")
    slow = piece("driving-in-fuse", opens={"at": "40 A", "within": "10 h"})
    assert [f.at_smallest for f in end_of(spoil(slow), "driving").fuses] == [
        f.at_smallest for f in by_type.fuses
    ]
