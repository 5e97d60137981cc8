from math import inf, nan, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.calc.heat import loss_w, vent_area_for_heat_cm2


def test_loss_by_hand_and_at_its_limits():
    assert loss_w(900, 0.9) == pytest.approx(100)
    assert loss_w(0, 0.9) == 0
    assert loss_w(500, 1) == 0
    for numbers in ((-1, 0.9), (nan, 0.9), (1, 0), (1, 1.01), (1, nan), (inf, 0.9)):
        with pytest.raises(ValueError, match="must"):
            loss_w(*numbers)


def heat_carried_w(area_cm2: float, rise_k: float, height_m: float, ambient_c: float) -> float:
    """Heat through two openings from the pressure balance itself, with the air's two densities kept apart.

    The column of warm air is lighter than that outside by (ρo − ρi)·g·h. The same mass passes both openings,
    each taking (m / (Cd·A))² / 2ρ of that pressure. Air at 20 °C and 101.325 kPa weighs 1.204 kg/m³ and holds
    1006 J/(kg·K) (handbook figures, from memory).
    """
    area_m2 = area_cm2 / 1e4
    cold = 1.204 * 293.15 / (ambient_c + 273.15)
    warm = 1.204 * 293.15 / (ambient_c + rise_k + 273.15)
    pressure_pa = (cold - warm) * 9.81 * height_m
    mass_kg_per_s = 0.6 * area_m2 * sqrt(pressure_pa / (1 / (2 * cold) + 1 / (2 * warm)))
    return mass_kg_per_s * 1006 * rise_k


@given(st.floats(5, 500), st.floats(3, 25), st.floats(0.1, 1.5), st.floats(-10, 45))
def test_openings_carry_the_heat_by_the_pressure_balance(heat_w, rise_k, height_m, ambient_c):
    area_cm2 = vent_area_for_heat_cm2(heat_w, rise_k, height_m, ambient_c)
    # The handbook formula takes one density for both openings: up to half of ΔT/T apart, 5 % at 25 K.
    assert heat_carried_w(area_cm2, rise_k, height_m, ambient_c) == pytest.approx(heat_w, rel=0.05)


def test_area_follows_the_law():
    area = vent_area_for_heat_cm2(100, 10, 0.5, 30)
    assert vent_area_for_heat_cm2(0, 10, 0.5, 30) == 0
    assert vent_area_for_heat_cm2(200, 10, 0.5, 30) == pytest.approx(2 * area)
    assert vent_area_for_heat_cm2(100, 10, 2.0, 30) == pytest.approx(area / 2)
    assert vent_area_for_heat_cm2(100, 20, 0.5, 30) == pytest.approx(area / 2**1.5, rel=0.02)


@pytest.mark.parametrize(
    "numbers",
    [
        (-1, 10, 0.5, 30),
        (nan, 10, 0.5, 30),
        (100, 0, 0.5, 30),
        (100, 10, 0, 30),
        (100, 10, 0.5, nan),
        (100, 10, 0.5, -273.15),
    ],
)
def test_impossible_numbers_are_refused(numbers):
    with pytest.raises(ValueError, match="must"):
        vent_area_for_heat_cm2(*numbers)
