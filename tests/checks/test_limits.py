"""Limits at their edge, each against a published figure or marked as common practice."""

import pytest

REMOVE, ADD = "(remove)", "(add)"


def rules_of(judged):
    return {finding.rule for finding in judged.findings}


# ISO 8820-5:2015, scope, read: strip fuse-links break 2 kA. The battery of 12.8 V behind r and 2 × 0.15 m
# gives about 12.8 / r.
@pytest.mark.parametrize(("milliohm", "broken"), [(7.0, True), (5.0, False)])
def test_strip_fuses_have_a_breaking_capacity_of_two_kiloamperes(milliohm, broken, spoil):
    judged = spoil({("equipment", "house", "resistance"): f"{milliohm} mΩ"})
    found = judged.of("breaking-capacity")
    assert bool(found) != broken
    for finding in found:
        assert finding.limit == 2000
        assert finding.value == pytest.approx(12.8 / (milliohm / 1000), rel=0.05)
        assert finding.source == "ISO 8820-5:2015"


def test_a_default_resistance_says_that_it_is_one(spoil):
    judged = spoil(
        {("equipment", "house", "resistance"): REMOVE, ("equipment", "main-fuse", "breaking"): "1 A"}
    )
    (found,) = judged.of("breaking-capacity")
    assert (
        "battery internal resistance, typical for its chemistry: common practice, no source" in found.source
    )


# ISO 8820-3:2015, scope, read: blade fuse-links break 1 kA; behind a larger fuse they lean on it.
def test_blade_fuses_behind_a_strip_fuse_are_one_review_for_the_board(spoil):
    (found,) = spoil({("equipment", "house", "resistance"): "7 mΩ"}).of("breaking-capacity-backed-up")
    assert (found.subject, found.severity, found.limit) == ("board", "review", 1000)
    assert found.source == "IEC 60364-4-43:2008 434.5.1, from memory"


def test_a_missing_breaking_capacity_at_a_voltage_is_reported(spoil):
    """ISO 8820-5 grants strip fuse-links 32 V; at 48 V nothing is known of them."""
    judged = spoil(
        {
            ("van", "nominal"): "48 V",
            ("equipment", "house", "series"): 4,
            ("equipment", "main-fuse", "voltage"): "58 V",
        }
    )
    (found,) = [f for f in judged.of("breaking-capacity") if f.subject == "main-fuse"]
    assert (found.severity, found.limit) == ("review", None)
    assert found.message.startswith("Cannot check")


# Common practice, no source: a lasting current of at most 80 % of the rating.
@pytest.mark.parametrize(("watts", "fits"), [(48.0, True), (49.0, False)])
def test_continuous_current_is_no_more_than_eighty_percent_of_the_fuse_rating(watts, fits, spoil):
    judged = spoil({("loads", "lights", "power"): f"{watts} W"})  # 5 A fuse at 12 V
    assert bool(judged.of("fuse-above-continuous")) != fits


def volts(text):
    number, unit = text.split()
    return float(number) * {"V": 1.0, "mV": 1e-3}[unit]


# ISO 13297 from ISO 10133:2012 and ABYC E-11: critical circuits 3 %; IEC 60364-5-52:2009 Table G.52.1,
# private supply: lighting 6 %, other uses 8 %. IEC 60228:2004 Table 3: 1.5 mm² has 13.3 Ω/km at 20 °C.
@pytest.mark.parametrize(("importance", "limit"), [("critical", 3), ("lighting", 6), ("general", 8)])
def test_voltage_drop_is_limited_by_the_kind_of_circuit(importance, limit, spoil):
    judged = spoil(
        {("loads", "lights", "importance"): importance, ("circuits", "lighting", "cable", "length"): "40 m"}
    )
    (found,) = judged.of("voltage-drop")
    cable_v = 2.0 * 80 * 0.0133 * (234.5 + 30) / (234.5 + 20)  # IEC 60228 annex: copper at 30 °C
    assert found.limit == limit
    assert cable_v < 12 * found.value / 100 < cable_v + 0.1  # the rest is lost in fuses and the feed
    assert f"{found.value:.3g} %".replace(".0 ", " ") in found.message
    steps = [line for line in found.working.splitlines() if " × " in line]
    total = sum(volts(line.rpartition(" = ")[2]) for line in steps)
    assert total == pytest.approx(12 * found.value / 100, rel=0.01)  # the sum can be redone by hand


# 33 CFR 183.425, read: (d) 18 AWG (0.82 mm²) in a sheath, (e) 16 AWG (1.31 mm²) separate; 24 W are above 1 A.
@pytest.mark.parametrize(
    ("area", "sheathed", "allowed"),
    [
        ("0.75 mm²", True, False),
        ("1 mm²", True, True),
        ("1 mm²", False, False),
        ("1.5 mm²", False, True),
    ],
)
def test_a_separate_conductor_is_no_smaller_than_the_minimum(area, sheathed, allowed, spoil):
    judged = spoil(
        {
            ("circuits", "lighting", "cable", "area"): area,
            ("circuits", "lighting", "cable", "sheathed"): sheathed,
        }
    )
    assert bool(judged.of("cable-below-smallest")) != allowed


# IEC 62485-2:2010 (EN 50272-2:2001), read: A = 28 · Q, Q = 0.05 · n · Igas · C / 1000, vented lead 20 mA/Ah
# while it is boosted: 0.05 · 6 · 20 · 200 / 1000 = 1.2 m³/h, 33.6 cm².
@pytest.mark.parametrize(("vent", "enough"), [(33, False), (34, True)])
def test_vent_area_for_a_vented_lead_acid_battery(vent, enough, spoil):
    judged = spoil({("equipment", "house", "chemistry"): "flooded", ("places", "box", "vent"): f"{vent} cm²"})
    found = judged.of("battery-vent-too-small")
    assert bool(found) != enough
    for finding in found:
        assert finding.limit == pytest.approx(33.6)
        assert "IEC 62485-2" in finding.source


# IEC 60891, from memory: linear correction of the open-circuit voltage. 2 · 22 · (1 + 0.003 · 45) = 49.94 V.
@pytest.mark.parametrize(("limit", "borne"), [("49.9 V", False), ("50 V", True)])
def test_string_voltage_is_checked_at_the_lowest_temperature(limit, borne, spoil):
    judged = spoil({("equipment", "panel", "series"): 2, ("equipment", "solar", "max_voc"): limit})
    found = judged.of("array-voltage-above-controller")
    assert bool(found) != borne
    for finding in found:
        assert finding.value == pytest.approx(49.94)
        assert finding.message.count("49.94 V") == 1  # digits enough to tell 49.94 from 49.9


# Lithium plating below 0 °C, general guidance, read.
@pytest.mark.parametrize(("coldest", "found"), [("0 °C", set()), ("-1 °C", {"lithium-charged-in-cold"})])
def test_lithium_is_not_charged_below_its_lowest_temperature(coldest, found, spoil):
    chargers = ("driving", "solar", "hook-up")
    level = {("equipment", ident, "profile", "compensation"): "0 mV/K" for ident in chargers}
    judged = spoil(
        level
        | {
            ("equipment", "house", "chemistry"): "LiFePO4",
            ("equipment", "house", "discharge_limit"): "100 A",
            ("places", "box", "coldest"): coldest,
        }
    )
    assert rules_of(judged) - {"mains-by-licensed-practice", "not-measured"} == found


def test_lithium_is_safe_if_every_charger_has_a_low_temperature_cut_off(spoil):
    chargers = ("driving", "solar", "hook-up")
    changes = {("equipment", ident, "profile", "low_temperature_lockout"): True for ident in chargers}
    changes |= {
        ("equipment", "house", "chemistry"): "LiFePO4",
        ("equipment", "house", "discharge_limit"): "100 A",
        ("equipment", "house", "low_temperature_lockout"): False,
    }
    assert not spoil(changes).of("lithium-charged-in-cold")


# Common practice, no source: 14.4 V is the usual lead setting, 14.7 V that of AGM.
@pytest.mark.parametrize(
    ("chemistry", "volts", "suits"),
    [
        ("AGM", "14.4 V", True),
        ("AGM", "14.7 V", True),
        ("AGM", "14.8 V", False),
        ("flooded", "14.4 V", True),
        ("gel", "14.4 V", True),
        ("gel", "14.7 V", False),
    ],
)
def test_absorption_voltage_is_checked_by_chemistry(chemistry, volts, suits, spoil):
    judged = spoil(
        {
            ("equipment", "house", "chemistry"): chemistry,
            ("equipment", "solar", "profile", "absorption"): volts,
        }
    )
    assert bool(judged.of("absorption-voltage")) != suits


def test_absorption_voltage_follows_the_nominal_voltage(spoil):
    """28.8 V is to a 24 V battery what 14.4 V is to one of 12 V."""
    changes = {
        ("equipment", ident, "profile", "absorption"): "28.8 V" for ident in ("driving", "solar", "hook-up")
    }
    judged = spoil({**changes, ("van", "nominal"): "24 V", ("equipment", "house", "series"): 2})
    assert not judged.of("absorption-voltage")


# Common practice, no source: 50 to 300 W for small roof arrays.
@pytest.mark.parametrize(("watts", "usual"), [(49, False), (50, True), (300, True), (301, False)])
def test_array_power_outside_the_usual_range_is_reported(watts, usual, spoil):
    judged = spoil(
        {
            ("equipment", "panel", "power"): f"{watts} W",
            ("equipment", "solar", "array_low"): "40 W",
            ("equipment", "solar", "array_high"): "400 W",
        }
    )
    assert bool(judged.of("array-outside-usual")) != usual


@pytest.mark.parametrize(
    ("sparks", "stated", "found"), [(True, False, True), (False, False, False), (True, True, False)]
)
def test_equipment_in_a_gas_locker_must_be_ignition_protected(sparks, stated, found, spoil):
    judged = spoil(
        {
            ("places", "galley", "gas_locker"): True,
            ("loads", "lights", "sparks"): False,
            ("loads", "pump", "sparks"): sparks,
            ("loads", "pump", "ignition_protected"): stated,
        }
    )
    assert bool(judged.of("spark-in-gas-locker")) == found


def test_no_finding_on_mains_is_a_fail(spoil):
    changes = {
        ("equipment", "inverter"): {
            "kind": "inverter",
            "name": "inverter",
            "place": "box",
            "power": "200 W",
            "torque": "7 N·m",
        },
        ("equipment", "board", "fuses", "5"): {"rating": "30 A"},
        ("cables", ADD): [
            {"id": "i-plus", "from": "board.5", "to": "inverter.+", "length": "0.5 m", "area": "6 mm²"},
            {"id": "i-minus", "from": "inverter.-", "to": "minus", "length": "0.5 m", "area": "6 mm²"},
        ],
        ("mains", "hook_up", "inspected"): REMOVE,
    }
    judged = spoil(changes)
    mains = [f for f in judged.findings if f.rule.startswith("mains-")]
    assert {(f.rule, f.severity) for f in mains} == {
        ("mains-not-recorded", "review"),
        ("mains-record-incomplete", "review"),
        ("mains-by-licensed-practice", "note"),
    }
