from math import inf, nan

import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.calc.panel import cell_temperature_c, panel_power_w

IRRADIANCE = st.floats(0, 1200)
AIR = st.floats(-30, 45)


@given(IRRADIANCE, AIR, st.floats(0, 0.06))
def test_cell_temperature_is_the_ross_model_of_pvlib(irradiance, air, heating):
    reference = pvlib.temperature.ross(irradiance, air, k=heating)
    assert cell_temperature_c(irradiance, air, heating) == pytest.approx(reference, rel=1e-12, abs=1e-9)


@given(IRRADIANCE, st.floats(-20, 80), st.floats(-0.6, 0))
def test_power_is_the_pvwatts_model_of_pvlib(irradiance, cell, coefficient):
    reference = pvlib.pvsystem.pvwatts_dc(irradiance, cell, 100.0, coefficient / 100)
    assert panel_power_w(100.0, irradiance, cell, coefficient) == pytest.approx(reference, rel=1e-9, abs=1e-9)


@given(IRRADIANCE, st.floats(-20, 80), st.floats(0, 30), st.floats(-0.6, 0))
def test_warmer_never_gives_more(irradiance, cell, more, coefficient):
    warm = panel_power_w(100, irradiance, cell + more, coefficient)
    assert warm <= panel_power_w(100, irradiance, cell, coefficient) + 1e-9


def test_rated_power_at_standard_conditions():
    assert panel_power_w(175, 1000, 25, -0.4) == 175
    assert panel_power_w(175, 0, 25, -0.4) == 0
    assert panel_power_w(175, 1000, 500, -0.4) == 0


def test_impossible_numbers_are_refused():
    for call in (
        lambda: cell_temperature_c(-1, 20, 0.03),
        lambda: cell_temperature_c(1, nan, 0.03),
        lambda: cell_temperature_c(1, 20, -0.03),
        lambda: panel_power_w(0, 1000, 25, -0.4),
        lambda: panel_power_w(100, inf, 25, -0.4),
        lambda: panel_power_w(100, 1000, nan, -0.4),
        lambda: panel_power_w(100, 1000, 25, 0.4),
    ):
        with pytest.raises(ValueError, match="must"):
            call()
