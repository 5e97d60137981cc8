"""Readings against what the sound van's model expects: what passes, what is found, and where."""

import pytest


def reading(measure, value, **more):
    """The sound van with one reading."""
    entry = {"measure": measure, "value": value, **more}
    return {("commissioning",): [{"date": "2026-03-14", "readings": [entry]}]}


def of_measured(judged):
    return {(f.rule, f.severity, f.subject) for f in judged.findings if f.rule not in ("not-measured", MAINS)}


MAINS = "mains-by-licensed-practice"

# 0.15 m of 16 mm² copper, IEC 60228:2004 class 5: 1.21 mΩ/m at 20 °C, so 0.18 mΩ; with lugs that may add the
# resistance of half a metre more 0.79 mΩ. At 30 A: 5.4 mV expected, about 24 mV at most.
CASES = {
    "sound cable": (reading("cable.battery-plus", "8 mV", current="30 A"), set()),
    "bad lug": (
        reading("cable.battery-plus", "60 mV", current="30 A"),
        {("connection-resistive", "fail", "battery-plus")},
    ),
    "the same voltage at ten times the current": (
        reading("cable.battery-plus", "60 mV", current="300 A"),
        set(),
    ),
    "drop too high for its kind": (
        reading("drop.pump", "1.5 V"),
        {("drop-measured-high", "fail", "pump")},
    ),
    "earth joint": (reading("earth.earth", "3 mΩ"), {("connection-resistive", "fail", "earth")}),
    "overcharged": (
        reading("charge-voltage.solar", "15.6 V"),
        {("charge-voltage-measured", "fail", "solar")},
    ),
    "undercharged": (
        reading("charge-voltage.solar", "13.4 V"),
        {("charge-voltage-measured", "fail", "solar")},
    ),
    "something draws": (reading("drain.house", "1.4 A"), {("drain-high", "review", "house")}),
    "nothing draws": (reading("drain.house", "10 mA"), set()),
    "flat": (reading("rest-voltage.house", "11.6 V"), {("reading-out-of-band", "review", "house")}),
    "plus touches minus": (
        reading("insulation.board", "4 Ω"),
        {("reading-out-of-band", "review", "board")},
    ),
    "loose nut": (reading("torque.house.+", "2 N·m"), {("reading-out-of-band", "review", "house")}),
    "not on the sheet": (
        reading("capacity.pump", "80 Ah"),
        {("reading-not-on-sheet", "review", "pump")},
    ),
}


@pytest.mark.parametrize(("changes", "found"), CASES.values(), ids=CASES)
def test_readings_give_their_findings(changes, found, spoil):
    judged = spoil(changes)
    assert of_measured(judged) == found
    for finding in judged.findings:
        if finding.rule != "not-measured" and finding.rule != MAINS:
            assert ":".join(map(str, (finding.file, finding.line))) in str(finding)
            assert "readings" in judged.text.splitlines()[finding.line - 2] or finding.line > 1


def test_only_the_newest_reading_counts(spoil):
    changes = reading("cable.battery-plus", "60 mV", current="30 A")
    changes[("services",)] = [
        {
            "date": "2027-03-14",
            "by": "Workshop",
            "readings": [{"measure": "cable.battery-plus", "value": "8 mV", "current": "30 A"}],
        }
    ]
    assert of_measured(spoil(changes)) == set()


def service(date, value, **more):
    return {
        "date": date,
        "by": "Workshop",
        "readings": [{"measure": "drop.pump", "value": value, "current": "5 A"}],
        **more,
    }


def test_a_trend_near_its_limit_is_reported_until_the_item_is_replaced(spoil):
    rising = ["380 mV", "420 mV", "460 mV"]
    years = [f"{year}-05-01" for year in (2024, 2025, 2026)]
    visits = [service(*pair) for pair in zip(years, rising, strict=True)]
    told = {("trend-crosses-limit", "review", "pump")}
    assert of_measured(spoil({("services",): visits})) == told
    falling = [service(*pair) for pair in zip(years, rising[::-1], strict=True)]
    assert of_measured(spoil({("services",): falling})) == set()
    visits[1]["replaced"] = ["pump"]
    assert of_measured(spoil({("services",): visits})) == set()


def test_the_number_of_measurements_to_take_is_reported(sound):
    open_ = next(f for f in sound.findings if f.rule == "not-measured")
    count, _, every = open_.message.split()[0:3]
    assert int(count) == int(every) > 20
