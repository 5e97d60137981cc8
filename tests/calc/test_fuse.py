from itertools import pairwise
from math import inf, nan

import pytest

from vandoc.ground.calc.fuse import (
    FAMILIES,
    breaking_capacity,
    colour,
    next_rating,
    standard_ratings,
    swatch,
)
from vandoc.ground.data import constant

# ISO 8820-3 / DIN 72581-3 as printed in lists of blade fuses: rating and colour. Exact.
TYPES_C_AND_F = {
    2: "grey", 3: "violet", 4: "pink", 5: "light brown", 7.5: "brown", 10: "red", 15: "light blue",
    20: "yellow", 25: "natural", 30: "light green",
}  # fmt: skip
TYPE_C_ONLY = {1: "black", 35: "blue-green", 40: "orange"}
TYPE_E = {
    20: "yellow", 30: "light green", 40: "orange", 50: "red", 60: "light blue", 80: "natural", 100: "violet",
}  # fmt: skip


def test_families_are_those_of_van_files():
    blades, bolted = ["C", "E", "F"], ["SF30", "SF51", "single-bolt", "class-T", "ANL"]
    cartridges = ["glass", "gPV"]  # IEC 60127-2, IEC 60269-6
    assert list(FAMILIES) == [*blades, *bolted, *cartridges, "breaker"]


@pytest.mark.parametrize(("rating_a", "word"), TYPES_C_AND_F.items())
def test_colours_of_types_c_and_f_are_those_of_the_standard(rating_a, word):
    assert colour("C", rating_a) == colour("F", rating_a) == word


@pytest.mark.parametrize(("rating_a", "word"), TYPE_C_ONLY.items())
def test_colours_of_type_c_are_those_of_the_standard(rating_a, word):
    assert colour("C", rating_a) == word
    assert colour("F", rating_a) is None


@pytest.mark.parametrize(("rating_a", "word"), TYPE_E.items())
def test_colours_of_type_e_are_those_of_the_standard(rating_a, word):
    assert colour("E", rating_a) == word


def test_where_two_printed_lists_differ_the_colour_is_one_of_theirs():
    assert colour("E", 70) in ("brown", "light brown")


def test_ratings_of_blade_types_are_the_coloured_ones():
    assert set(standard_ratings("C")) == set(TYPES_C_AND_F) | set(TYPE_C_ONLY)
    assert set(standard_ratings("F")) == set(TYPES_C_AND_F)
    assert set(standard_ratings("E")) == set(TYPE_E) | {70}


@pytest.mark.parametrize("family", ["SF30", "SF51", "single-bolt", "class-T", "ANL"])
def test_other_families_have_no_colour_and_say_their_ratings_are_from_memory(family):
    assert all(rating.colour is None and rating.from_memory for rating in FAMILIES[family].ratings)


def test_every_colour_has_a_swatch():
    words = {rating.colour for family in FAMILIES.values() for rating in family.ratings} - {None}
    assert len({swatch(word) for word in words}) == len(words) == 13
    assert all(len(swatch(word)) == 7 and int(swatch(word)[1:], 16) >= 0 for word in words)
    with pytest.raises(ValueError, match="mauve"):
        swatch("mauve")


# Scopes of ISO 8820-3:2015, -5:2015 and -6:2019: rated voltages, breaking capacity, largest rating. Exact.
SCOPES = [
    ("C", {32, 58}, 1000, 100), ("E", {32, 58}, 1000, 100), ("F", {32, 58}, 1000, 100),
    ("SF30", {32}, 2000, 500), ("SF51", {32}, 2000, 500), ("single-bolt", {58}, 2000, 300),
]  # fmt: skip


@pytest.mark.parametrize(("family", "voltages", "breaking_a", "largest_a"), SCOPES)
def test_breaking_capacities_and_ratings_are_those_of_the_iso_8820_scopes(
    family, voltages, breaking_a, largest_a
):
    granted = [entry for entry in FAMILIES[family].breaking if entry.kind == "standard"]
    assert {entry.voltage_v for entry in granted} == voltages
    assert {entry.amps_a for entry in granted} == {breaking_a}
    assert not any(entry.from_memory for entry in granted)
    assert max(standard_ratings(family)) == FAMILIES[family].maximum_rating_a <= largest_a


def test_trade_figures_stand_apart_and_say_so():
    for family in FAMILIES.values():
        for entry in family.breaking:
            assert entry.kind in ("standard", "trade")
            assert entry.from_memory or entry.source.startswith("ISO 8820")
    assert breaking_capacity("single-bolt", 14.4, "standard").amps_a == 2000
    assert breaking_capacity("single-bolt", 14.0, "trade").amps_a == 10000
    assert breaking_capacity("single-bolt", 28.8, "trade").amps_a == 5000
    assert breaking_capacity("ANL", 14.4, "standard") is None


def test_no_fuse_has_a_breaking_capacity_above_its_rated_voltage():
    for name, family in FAMILIES.items():
        beyond = family.rated_voltages_v[-1] + 0.1
        assert breaking_capacity(name, beyond, "standard") is None
        assert breaking_capacity(name, beyond, "trade") is None
    assert FAMILIES["single-bolt"].rated_voltages_v == (14, 32, 58)


def test_next_rating_is_the_smallest_that_suffices():
    for name in FAMILIES:
        ratings = standard_ratings(name)
        assert list(ratings) == sorted(set(ratings))
        for low, high in pairwise(ratings):
            assert next_rating(name, low) == low
            assert next_rating(name, low + 1e-6) == high
        assert next_rating(name, 0) == ratings[0]
        assert next_rating(name, ratings[-1] + 0.1) is None


@pytest.mark.parametrize("amps", [nan, inf, -1])
def test_impossible_currents_are_refused(amps):
    with pytest.raises(ValueError, match="at_least_a"):
        next_rating("C", amps)
    with pytest.raises(ValueError, match="rating_a"):
        colour("C", amps)
    with pytest.raises(ValueError, match="voltage_v"):
        breaking_capacity("C", amps, "standard")


def test_unknown_names_are_refused():
    for call in (
        lambda: standard_ratings("D"),
        lambda: colour("c", 10),
        lambda: breaking_capacity("", 12, "trade"),
    ):
        with pytest.raises(ValueError, match="fuse family must be one of C, E, F"):
            call()
    with pytest.raises(ValueError, match="kind"):
        breaking_capacity("C", 12, "maker")


def test_continuous_current_is_at_most_80_percent_of_the_rating():
    assert constant("continuous fuse load").value == 0.8  # common practice, no source
