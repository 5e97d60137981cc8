"""The sums behind cables, fuses and voltage drops: done again from the words on the page."""

import pytest

from tests.manual.manuals import VANS, judged, numbers, page, words
from vandoc.ground.calc.fuse import standard_ratings
from vandoc.ground.figures import plain, quantity
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.sums import cable_sum, fuse_sum
from vandoc.pages.manual.text import WORDS


def book_of(van):
    found = judged(van)
    return Book(found)


@pytest.mark.parametrize("van", VANS)
def test_every_cable_that_is_checked_has_its_sum_on_the_page(van):
    said = words(page(van, "electrician/cables.md"))
    book = book_of(van)
    for sized in book.sizing.conductors.values():
        found = cable_sum(book, sized)
        if sized.conductor.vehicle or sized.conductor.signal:
            assert found is None
            continue
        assert found.name.startswith(f"{sized.conductor.id}, ")
        for line in (f"{found.name}: {found.result}", *found.lines, found.source):
            assert " ".join(line.split()) in said


@pytest.mark.parametrize("van", VANS)
def test_the_sum_of_a_cable_comes_out_by_hand(van):
    book = book_of(van)
    for sized in book.sizing.conductors.values():
        found = cable_sum(book, sized)
        if found is None:
            continue
        carries, capacity, fits, copper, resistance = found.lines
        assert numbers(carries)[1] == pytest.approx(sized.design_a, rel=0.01, abs=1e-3)
        base, ambient, grouping, installation, amps = numbers(capacity)
        assert base * ambient * grouping * installation == pytest.approx(amps, rel=0.02)
        have, need = numbers(fits)
        assert ("≥" in fits) == (have >= need)
        # Rise with the square of the current: (insulation - ambient) (I / Iz)^2, usual formula, from memory.
        around, insulation, again, current, most, celsius = numbers(copper)
        assert around == again
        assert around + (insulation - around) * (current / most) ** 2 == pytest.approx(celsius, rel=0.03)
        # IEC 60228:2004, annex on temperature: R(T) = R(20 °C) · (234.5 + T) / 254.5.
        cold, length, constant, warm, at_20, ohm = numbers(resistance)
        assert (constant, at_20) == (234.5, 254.5)
        assert cold * length * (234.5 + warm) / 254.5 == pytest.approx(ohm, rel=0.02)
        assert ohm == pytest.approx(1000 * sized.ohm, rel=0.01)


@pytest.mark.parametrize("van", VANS)
def test_the_needed_capacity_covers_the_current_and_proposed_cables_have_it(van):
    for sized in judged(van).sizing.conductors.values():
        if sized.conductor.signal or sized.conductor.vehicle:
            continue
        assert sized.needed_a >= sized.design_a * (1 - 1e-6)
        if sized.proposed:
            assert sized.capacity_a >= sized.needed_a * (1 - 1e-6)


@pytest.mark.parametrize("van", VANS)
def test_every_fuse_has_its_sum_and_it_leads_to_its_rating(van):
    tree = page(van, "electrician/circuits.md")
    block = next(div for div in tree.iter("div") if div.get("id") == "fuses")
    said = words(block)
    book = book_of(van)
    assert len(list(block.iter("details"))) == len(book.sizing.fuses)
    for sized in book.sizing.fuses.values():
        found = fuse_sum(book, sized)
        for line in (f"{found.name}: {found.result}", *found.lines, found.source):
            assert " ".join(line.split()) in said
        lasting = next(
            line for line in found.lines if line.startswith(WORDS["sum.lasting"].partition("{")[0])
        )
        amps, fraction, least = numbers(lasting)
        assert amps / fraction == pytest.approx(least, rel=0.01, abs=1e-3)
        # 0.8 is common practice, no source; 0.5 % less for each kelvin above 40 °C, from memory.
        hottest_c = book.system.places[book.system.equipment[sized.link.owner].place].hottest_c
        assert fraction == pytest.approx(0.8 * (1 - 0.005 * max(0.0, hottest_c - 40)), abs=5e-4)
        need, rating = numbers(found.lines[-1])
        assert rating == sized.rating_a
        if sized.proposed:
            ratings = standard_ratings(sized.link.family)
            assert rating == next(one for one in ratings if one >= need * 0.995)


@pytest.mark.parametrize("van", VANS)
def test_the_parts_of_a_way_are_called_by_their_names(van):
    book = book_of(van)
    for drop in book.sizing.drops.values():
        for part, _, _ in drop.steps:
            name = book.edge_name(part)
            if part in book.network.conductors:
                assert " to " in name
            else:
                assert name != part


@pytest.mark.parametrize("van", VANS)
def test_the_plot_shows_the_way_that_is_nearest_its_limit(van):
    book = book_of(van)
    worst = max(book.sizing.drops.values(), key=lambda drop: drop.percent / drop.limit.percent)
    figure = next(page(van, "electrician/circuits.md").iter("figure"))
    lost = worst.supply_v + worst.return_v
    said = words(figure)
    assert f"{book.name(worst.owner)}: voltage drop {plain(quantity(lost, 'V'))} of" in said
    assert plain(quantity(worst.limit.percent / 100 * worst.nominal_v, "V")) in said
