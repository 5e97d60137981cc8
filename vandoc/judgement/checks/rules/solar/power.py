"""The power of the array is in the range of the solar charge controller."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.solar import array_power_range
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import or_more
from vandoc.judgement.checks.rule import Breach, fail, note, review, rule
from vandoc.judgement.checks.shared.solar import plants, words_of


@rule(
    fail("array-above-controller", or_more("array_high_w", "W")),
    review("array-below-controller"),
    note("array-outside-usual"),
    note("array-above-output"),
)
def power(van: Van) -> Iterator[Breach]:
    """The power of the array is in the range of the solar charge controller."""
    usual = array_power_range()
    for plant in plants(van):
        charger, found, trail = plant.charger, Amount(plant.power_w, "W"), van.trail(plant.ident)
        words = words_of(van, plant)
        low, high = charger.array_low_w, charger.array_high_w
        if high is None:
            yield Breach("array-above-controller", plant.ident, trail, words, found, unknown=True)
        elif exceeds(plant.power_w, high):
            yield Breach("array-above-controller", plant.ident, trail, words, found, Amount(high, "W"))
        if low is not None and exceeds(low, plant.power_w):
            yield Breach("array-below-controller", plant.ident, trail, words, found, Amount(low, "W"))
        if exceeds(usual.low_w, plant.power_w) or exceeds(plant.power_w, usual.high_w):
            limit = usual.low_w if plant.power_w < usual.low_w else usual.high_w
            here = {**words, "low": Amount(usual.low_w, "W"), "high": Amount(usual.high_w, "W")}
            yield Breach("array-outside-usual", plant.ident, trail, here, found, Amount(limit, "W"), (usual,))
        nominal = charger.output_v or van.system.van.nominal_v
        amps = plant.power_w / nominal
        if exceeds(amps, charger.output_a):
            here = {**words, "power": found, "nominal": Amount(nominal, "V")}
            limit_a = Amount(charger.output_a, "A")
            yield Breach("array-above-output", plant.ident, trail, here, Amount(amps, "A"), limit_a)
