"""A string reaches the charging voltage when it is hot."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.solar import string_voc_v
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.profiles import pairs_of
from vandoc.judgement.checks.shared.solar import Plant, plants, string_of
from vandoc.model import equipment as eq

USUAL_SHARE = 0.8  # of Vmp in Voc where Vmp is not stated, as in the network of the van


@rule(fail("string-below-charging-voltage"))
def string_voltage(van: Van) -> Iterator[Breach]:
    """A string reaches the charging voltage when it is hot."""
    hot = constant("temperature of a hot panel")
    for plant in plants(van):
        needed = _needed_v(van, plant)
        for ident, array in plant.arrays.items():
            cell_c = max(hot.value, van.system.places[array.place].hottest_c)
            string = string_of(van, ident).values()
            volts = fsum(_hot_v(one, cell_c) for one in string)
            if exceeds(needed, volts):
                words: dict[str, Word] = {
                    "array": van.name(ident),
                    "charger": van.name(plant.ident),
                    "hot": Amount(cell_c, "°C"),
                    "cold": Amount(fsum(_vmp_v(one) for one in string), "V"),
                }
                value, limit = Amount(volts, "V"), Amount(needed, "V")
                yield Breach(
                    "string-below-charging-voltage", ident, van.trail(ident), words, value, limit, (hot,)
                )


def _vmp_v(array: eq.SolarArray) -> float:
    return array.series * (array.vmp_v or USUAL_SHARE * array.voc_v)


def _hot_v(array: eq.SolarArray, cell_c: float) -> float:
    """Return the voltage at maximum power of a hot string: it falls by as many volts as Voc. [V]"""
    coefficient = min(array.voc_coefficient_percent_per_k, 0.0)
    lost = array.series * array.voc_v - string_voc_v(array.series, array.voc_v, coefficient, cell_c)
    return _vmp_v(array) - lost


def _needed_v(van: Van, plant: Plant) -> float:
    """Return the highest charging voltage: that of its profile, or of its batteries. [V]"""
    if plant.charger.profile is not None:
        return plant.charger.profile.absorption_v
    nominal = plant.charger.output_v or van.system.van.nominal_v
    volts = [nominal]
    for ident, _, _, battery in pairs_of(van):
        traits = battery.traits
        absorption = traits.scaled(traits.absorption_v, battery.nominal_v or van.system.van.nominal_v)
        if ident == plant.ident and absorption is not None:
            volts.append(absorption.low)
    return max(volts)
