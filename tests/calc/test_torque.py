from math import pi

import pytest

from vandoc.ground.calc.torque import THREADS, any_torque_nm, battery_torque_nm, torque_range_nm

# Lists that were read: thread, N·m of a brass stud (DIN 46200 class, largest), N·m of a screw terminal with
# ring lug, N·m of a mild steel bolt (middle). Every one must lie in the range.
READ = [
    ("M4", 1.2, 1.2, 1.2), ("M5", 2.0, 2.0, 2.5), ("M6", 3.0, 2.5, 4.2), ("M8", 6.0, 6.0, 10.3),
    ("M10", 10.0, 10.0, 20.3), ("M12", 15.5, 14.0, 35.6),
]  # fmt: skip

# ISO 898-1 and ISO 724, from memory: stress area of coarse threads in mm², proof stress of class 8.8 steel
# 580 MPa.
STRESS_AREA_MM2 = {"M4": 8.78, "M5": 14.2, "M6": 20.1, "M8": 36.6, "M10": 58.0, "M12": 84.3}


@pytest.mark.parametrize(("thread", "brass", "terminal", "steel"), READ)
def test_range_includes_the_lists_that_were_read(thread, brass, terminal, steel):
    found = torque_range_nm(thread)
    assert found.low_nm <= min(brass, terminal, steel)
    assert max(brass, terminal, steel) <= found.high_nm
    assert found.source


@pytest.mark.parametrize("thread", THREADS)
def test_no_torque_would_strip_a_good_steel_bolt(thread):
    # Torque = 0.2 · force · diameter, the usual rule for dry threads, at the proof load of class 8.8.
    diameter_m = int(thread[1:]) / 1000
    assert torque_range_nm(thread).high_nm < 0.2 * 580 * STRESS_AREA_MM2[thread] * diameter_m
    assert STRESS_AREA_MM2[thread] < pi / 4 * (diameter_m * 1000) ** 2


def test_thicker_threads_take_more():
    ranges = [torque_range_nm(thread) for thread in THREADS]
    assert [found.low_nm for found in ranges] == sorted({found.low_nm for found in ranges})
    assert [found.high_nm for found in ranges] == sorted({found.high_nm for found in ranges})


def test_a_result_says_that_its_figure_is_from_memory():
    assert not torque_range_nm("M8").from_memory
    assert torque_range_nm("M6").from_memory, "its upper end is a battery terminal, common practice"


def test_a_battery_takes_less_than_a_steel_bolt_of_its_thread():
    # Lead batteries, common practice, no source: M6 4 to 8 N·m, M8 8 to 12 N·m; 80 N·m breaks any of them.
    for thread, low, high in (("M6", 4, 8), ("M8", 8, 12)):
        found = battery_torque_nm(thread)
        assert (found.low_nm, found.high_nm, found.from_memory) == (low, high, True)
    assert battery_torque_nm(None).high_nm < 20
    assert battery_torque_nm("M12") == torque_range_nm("M12"), "no list for batteries has it"


def test_an_unknown_thread_spans_the_usual_ones():
    found = any_torque_nm()
    assert (found.low_nm, found.high_nm) == (torque_range_nm("M4").low_nm, torque_range_nm("M10").high_nm)


def test_unknown_thread_is_refused():
    with pytest.raises(ValueError, match="M4, M5, M6, M8, M10, M12"):
        torque_range_nm("M9")
