"""A calculation that does not end with a result is a finding, never a current of nothing."""

from typing import Any

import pytest

from vandoc.physics.network.currents import SizingState
from vandoc.physics.sizing import sizer

ADD = "(add)"


def converter(number: int) -> dict[str, Any]:
    return {
        "kind": "converter",
        "name": f"converter {number}",
        "place": "box",
        "input_voltage": "12 V",
        "output_voltage": "12 V",
        "output": "20 A",
        "efficiency": "90 %",
        "torque": "5 N·m",
    }


def wire(ident: str, start: str, end: str) -> dict[str, Any]:
    return {"id": ident, "from": start, "to": end, "length": "0.5 m", "area": "10 mm²"}


def chain(many: int, first: str) -> dict[tuple[str | int, ...], Any]:
    """Converters one behind the other, a lamp of 5 A behind the last."""
    lamp = {"name": "reading lamp", "place": "galley", "current": "5 A"}
    changes: dict[tuple[str | int, ...], Any] = {("loads", "reading"): lamp}
    cables, feed = [], first
    for number in range(many):
        ident = f"converter-{number}"
        changes["equipment", ident] = converter(number)
        cables += [wire(f"in-{number}", feed, f"{ident}.in"), wire(f"minus-{number}", f"{ident}.-", "minus")]
        feed = f"{ident}.out"
    cables += [wire("lamp-plus", feed, "reading.+"), wire("lamp-minus", "reading.-", "minus")]
    return {**changes, ("cables", ADD): cables}


def test_each_converter_of_a_long_chain_takes_what_the_next_one_asks_for(spoil):
    judged = spoil(chain(8, "plus"))
    amps = judged.van.sizing.states[SizingState.SUPPLY].amps
    for number in range(8):
        # Power in is power out by efficiency, at the same nominal voltage (by hand).
        assert amps[f"in-{number}"] == pytest.approx(5 / 0.9 ** (8 - number), rel=1e-4)
    assert not judged.of("currents-not-found")


def test_converters_that_supply_each_other_in_a_circle_are_found(spoil):
    judged = spoil(chain(2, "converter-1.out"))
    found = judged.of("currents-not-found")
    assert {finding.severity for finding in found} == {"fail"}
    assert {finding.subject for finding in found} <= {"converter-0", "converter-1"}


def test_sizes_that_never_settle_are_found(spoil, monkeypatch):
    monkeypatch.setattr(sizer, "MAX_ROUNDS", 1)
    judged = spoil(
        {("cables", "battery-plus", "area"): "(remove)", ("equipment", "main-fuse", "rating"): "(remove)"}
    )
    assert [finding.severity for finding in judged.of("sizes-not-found")] == ["fail"]
