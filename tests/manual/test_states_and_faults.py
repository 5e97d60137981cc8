"""The pages on operating states and short circuits: complete, and each sum comes out when done again."""

import re

import pytest

from tests.manual.manuals import VANS, ends, judged, numbers, page, words
from vandoc.pages.manual.electrician.states import balance
from vandoc.pages.manual.text import WORDS

NUMBER = r"−?[0-9.]+"
AMPS, VOLTS, SECONDS = rf"({NUMBER} [km]?A)", rf"({NUMBER} m?V)", rf"({NUMBER} m?s)"


def case_of(van):
    return judged(van)


def rows(table):
    return [[words(cell) for cell in row if cell.tag == "td"] for row in table.iter("tr")][1:]


def value(text):
    (found,) = numbers(text)
    return found


def summed(lines, pattern):
    return [tuple(value(part) for part in match) for line in lines for match in re.findall(pattern, line)]


@pytest.mark.parametrize("van", VANS)
def test_every_state_has_each_device_with_its_solved_voltage_and_current(van):
    solved = case_of(van).solved
    every = page(van, "electrician/states.md").iter("table")
    tables = [t for t in every if "Voltage [V]" in words(t) and "Starting current" not in words(t)]
    assert len(tables) == len(solved) >= 3
    for table, found in zip(tables, solved.values(), strict=True):
        shown = [(value(row[2]), value(row[4])) for row in rows(table)]
        for device in found.devices:
            volts = found.across_v(device.plus, device.minus)
            amps = abs(found.device_amps[device.name])
            assert any(
                v == pytest.approx(volts, abs=0.006) and a == pytest.approx(amps, rel=6e-3, abs=1e-3)
                for v, a in shown
            )


@pytest.mark.parametrize("van", VANS)
def test_supplied_power_is_used_stored_or_lost(van):
    for found in case_of(van).solved.values():
        given, *taken = (watts for _, watts in balance(found))
        assert given == pytest.approx(sum(taken), rel=1e-6)
        assert min(taken) >= 0
    for table in page(van, "electrician/states.md").iter("table"):
        if "Power balance" in words(table):
            given, *taken = (value(row[1].split()[0]) for row in rows(table))
            assert given == pytest.approx(sum(taken), rel=0.01)


@pytest.mark.parametrize("van", VANS)
def test_every_main_cable_and_fuse_is_listed_in_every_state(van):
    found = judged(van)
    said = words(page(van, "electrician/states.md"))
    states = len(case_of(van).solved)
    for ident in found.sizing.conductors:
        assert said.count(f"({ident})") == states
    for ident in found.sizing.fuses:
        name = found.network.fuses[ident]
        assert str(name.position or found.system.equipment[name.owner].name) in said


@pytest.mark.parametrize("van", VANS)
def test_each_sum_of_a_state_comes_out(van):
    lines = [words(line) for line in page(van, "electrician/states.md").iter("li")]
    drops = summed(lines, rf"{AMPS} × ({NUMBER}) mΩ = {VOLTS}")
    assert len(drops) > 10
    for amps, milliohm, volts in drops:
        assert amps * milliohm / 1000 == pytest.approx(volts, rel=0.012, abs=1e-4)
    warm = summed(
        lines,
        rf"({NUMBER}) \+ \(({NUMBER}) − {NUMBER}\) × \({AMPS} / {AMPS}\)² = ({NUMBER})",
    )
    assert warm
    for place, rating, amps, capacity, celsius in warm:
        assert place + (rating - place) * (amps / capacity) ** 2 == pytest.approx(celsius, rel=0.012)
    for cold, now, before, ohms in summed(
        lines, rf"({NUMBER}) mΩ/m × \(234.5 \+ ({NUMBER})\) / \(234.5 \+ ({NUMBER})\) = ({NUMBER})"
    ):
        assert cold * (234.5 + now) / (234.5 + before) == pytest.approx(ohms, rel=0.012)


@pytest.mark.parametrize("van", VANS)
def test_every_end_and_fuse_has_its_short_circuit(van):
    faults = case_of(van).faults
    fuses, circuits, bodies, pairs = (rows(t) for t in page(van, "electrician/faults.md").iter("table"))
    shown = sorted(value(row[3]) for row in fuses)
    assert shown == pytest.approx(sorted(faults.at_fuse_a.values()), rel=6e-3)
    assert len(circuits) == len(faults.at_end)
    for row, end in zip(circuits, faults.at_end.values(), strict=True):
        assert ends(row[1]) == pytest.approx((end.smallest_a, end.largest_a), rel=6e-3)
        assert (row[6] == WORDS["fault.verdict.in_time"]) == (end.verdict == "in time")
    behind = {}
    for fault in case_of(van).body_faults.faults:
        if fault.fuses:
            behind.setdefault(fault.fuses[-1].link.id, []).append(fault)
    assert len(bodies) == len(behind) > 5
    for row, found in zip(bodies, behind.values(), strict=True):
        low, high = min(fault.smallest_a for fault in found), max(fault.largest_a for fault in found)
        assert ends(row[1]) == pytest.approx((low, high), rel=6e-3)
        assert row[5] == WORDS["fault.body.survives"]
    shown = {(up, low): ok for end in faults.at_end.values() for up, low, ok in end.discrimination}
    assert len(pairs) == len(shown)


@pytest.mark.parametrize("van", VANS)
def test_each_sum_of_a_short_circuit_comes_out(van):
    lines = [words(line) for line in page(van, "electrician/faults.md").iter("li")]
    currents = summed(lines, rf"{VOLTS} / ({NUMBER}) mΩ = {AMPS}")
    assert len(currents) >= 10
    for volts, milliohm, amps in currents:
        assert 1000 * volts / milliohm == pytest.approx(amps, rel=0.012)
    stands = summed(lines, rf"\(({NUMBER}) × ({NUMBER}) mm² / {AMPS}\)² = {SECONDS}")
    assert len(stands) >= 5
    for k, area, amps, seconds in stands:
        assert (k * area / amps) ** 2 == pytest.approx(seconds, rel=0.02)


def test_sources_and_what_is_recalled_are_said():
    said = words(page("curlew", "electrician/faults.md"))
    for text in (
        "IEC 60364-4-43:2008 434.5.2, from memory",
        "ISO 8820-3; from memory",
        "IEC 60364-5-54:2011",
    ):
        assert text in said
