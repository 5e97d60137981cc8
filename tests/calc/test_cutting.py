"""What to cut for a length as laid: the allowances are our own choice, so sums by hand stand against them."""

import math

import pytest

from vandoc.ground.calc.cutting import cut_length_m, usual_colour

# By hand: laid · 1.05 + 2 · 0.05 m, up to the next 0.05 m.
BY_HAND = [(0.0, 0.1), (1.0, 1.15), (2.0, 2.2), (3.4, 3.7), (10.0, 10.6)]


@pytest.mark.parametrize(("laid", "cut"), BY_HAND)
def test_cut_length_as_by_hand(laid, cut):
    assert cut_length_m(laid) == pytest.approx(cut, abs=1e-9)


def test_never_shorter_and_never_a_step_too_long():
    for millimetres in range(0, 20_000, 7):
        laid = millimetres / 1000
        wanted = laid * 1.05 + 0.1
        assert -1e-6 <= cut_length_m(laid) - wanted < 0.05 + 1e-6


@pytest.mark.parametrize("laid", [-0.1, math.nan, math.inf])
def test_impossible_lengths_are_refused(laid):
    with pytest.raises(ValueError, match="laid_m must be 0 or more"):
        cut_length_m(laid)


def test_positive_is_red_and_negative_is_black():
    # ISO 10133:2012, from memory: positive red, negative black or yellow.
    assert (usual_colour("positive").colour, usual_colour("negative").colour) == ("red", "black")
    assert usual_colour("positive").from_memory
