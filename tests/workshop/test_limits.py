"""The workshop's limits decide what is checked and proposed, and findings name them as the workshop's."""

import pytest

from vandoc.analysis import Van
from vandoc.judgement.checks import run
from vandoc.judgement.proposals import proposals
from vandoc.physics import limits
from vandoc.reading.loader import load

SOURCE = "the workshop's own limit (workshop.yml)"


@pytest.fixture
def van(wren, shop):
    def read(text: str = "") -> Van:
        if text:
            shop(f"{text}\n")
        return Van.of(load(wren))

    return read


def found(van, rule):
    return [one for one in run(van) if one.rule == rule]


def test_a_longer_charger_cable_than_the_workshop_permits(van):
    assert not found(van(), "charger-far-from-battery")
    (one,) = found(van("limits: {charger_cable: 1 m}"), "charger-far-from-battery")
    assert (one.subject, one.limit, one.source) == ("solar", 1.0, SOURCE)
    assert "the usual maximum is 1 m" in one.message


def test_a_longer_unprotected_cable_than_the_workshop_permits(van):
    assert not found(van(), "fuse-too-far")
    near = found(van("limits: {unprotected: 0.1 m}"), "fuse-too-far")
    # 0.15 m of cable between each battery and its fuse, stated in the van file.
    assert {(one.subject, one.value, one.limit) for one in near} == {
        ("starter-feed", 0.15, 0.1),
        ("battery-plus", 0.15, 0.1),
    }
    assert {one.source for one in near} == {SOURCE}


def test_a_smaller_cable_than_the_workshop_permits_is_not_proposed(van):
    smallest = {cable: sized.area_mm2 for cable, sized in van().sizing.conductors.items()}
    assert smallest["roof-lights supply"] == 1.5  # 33 CFR 183.425(e): 16 AWG
    larger = van("limits: {smallest_cable: 2.5 mm²}")
    assert larger.sizing.conductors["roof-lights supply"].area_mm2 == 2.5
    assert not found(larger, "cable-below-smallest")


def test_a_stated_cable_below_the_workshops_smallest(van, wren):
    text = wren.read_text("utf-8")
    start = text.index("- id: roof-lights")
    at = text.index("cable: {", start) + len("cable: {")
    wren.write_text(f"{text[:at]}area: 1.5 mm², {text[at:]}", "utf-8")
    assert not found(van(), "cable-below-smallest")
    below = found(van("limits: {smallest_cable: 2.5 mm²}"), "cable-below-smallest")
    assert (1.5, 2.5, SOURCE) in {(one.value, one.limit, one.source) for one in below}


def test_a_fuse_is_loaded_no_more_than_the_workshop_permits(van):
    # 95 A of continuous current; at 60 °C a fuse carries 0.9 of its rating: 95 / 0.72 = 132 A takes one of
    # 150 A, 95 / 0.63 = 151 A one of 175 A.
    assert van().ratings["split-fuse"] == 150
    loaded = van("limits: {fuse_load: 70 %}")
    assert loaded.ratings["split-fuse"] == 175
    (proposed,) = [one for one in proposals(loaded).items if one.subject == "split-fuse"]
    assert proposed.value == 175
    assert "/ 63 %" in proposed.reason


def test_a_stated_fuse_that_carries_more_than_the_workshop_permits(van, wren):
    text = wren.read_text("utf-8")
    at = text.index("split-fuse: {") + len("split-fuse: {")
    wren.write_text(f"{text[:at]}rating: 150 A, {text[at:]}", "utf-8")
    assert not found(van(), "fuse-above-continuous")
    (one,) = found(van("limits: {fuse_load: 70 %}"), "fuse-above-continuous")
    assert (one.severity, one.source) == ("fail", SOURCE)
    assert "at up to 60 °C the maximum is 94.5 A" in one.message


def test_less_is_lost_than_the_workshop_permits(van):
    before = van().sizing.drops["roof-lights"]
    assert 2 < before.percent < before.limit.percent
    after = van("limits: {voltage_drop: {lighting: 2 %}}").sizing.drops["roof-lights"]
    assert after.percent <= 2
    assert (after.limit.percent, after.limit.source) == (2, SOURCE)


def test_a_voltage_drop_that_the_workshop_does_not_permit(van):
    strict = van("limits: {voltage_drop: {charging: 0.1 %}}")
    (one,) = [one for one in found(strict, "voltage-drop") if one.subject == "solar"]
    assert (one.limit, one.source) == (0.1, SOURCE)
    assert "the maximum is 0.1 %" in one.message


def test_the_workshops_standards_are_used_where_the_van_names_none(van, change):
    assert len(limits.bases(van().system)) == 3
    assert limits.bases(van("bases: [ISO 13297]").system) == ("ISO 13297",)
    capacities = van().sizing.conductors["battery-plus"].capacities
    assert {one.basis for one in capacities} == {"ISO 13297"}
    assert not found(van(), "basis-not-of-workshop")
    change("  nominal: 12 V\n", "  nominal: 12 V\n  basis: 33 CFR 183.425\n")
    (one,) = found(van(), "basis-not-of-workshop")
    assert (one.severity, one.source) == ("fail", SOURCE)
    assert "names 33 CFR 183.425 for" in one.message
    assert "the workshop works by ISO 13297" in one.message
    assert not found(van("bases: [ISO 13297, 33 CFR 183.425]"), "basis-not-of-workshop")


def test_of_several_standards_the_strictest_decides(van):
    every = van().sizing.conductors["battery-plus"].capacity_a
    two = van("bases: [33 CFR 183.425, IEC 60364-5-52]").sizing.conductors["battery-plus"]
    assert two.capacity_a == min(one.amps_a for one in two.capacities) >= every
    one = limits.voltage_drop(van("bases: [IEC 60364-5-52, ISO 13297]").system, "lighting")
    singles = [
        limits.voltage_drop(van(f"bases: [{basis}]").system, "lighting").percent
        for basis in ("IEC 60364-5-52", "ISO 13297")
    ]
    assert one.percent == min(singles)
