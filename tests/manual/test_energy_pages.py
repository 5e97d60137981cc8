"""The pages on energy: each number is the figure's, each sum comes out, each assumption is said."""

import re
from math import inf, isfinite, isinf, log
from typing import get_args

import pytest

from tests.manual.manuals import VANS, judged, page, words
from vandoc.ground.figures import YEAR_H, month, owners_times, span
from vandoc.pages.diagram.words import WORDS as DRAWINGS
from vandoc.pages.manual.electrician.working import ENERGY, spread, working
from vandoc.pages.manual.owner.charge import lasting
from vandoc.pages.manual.text import WORDS
from vandoc.physics.energy import Assumption, BankBudget, Figure, Term
from vandoc.physics.energy.results import Covered

PAGE = "electrician/energy.md"
SVG = "{http://www.w3.org/2000/svg}"


def energy_of(van) -> BankBudget:
    found = judged(van)
    (bank,) = found.energy.banks
    return bank


def shown_figures(bank):
    """Every figure that the page shows with its sum, with the kind its words go by."""
    for season in bank.seasons.values():
        if season.months:
            yield "usable", season.usable
            yield "days_dark", season.days_dark
            if season.sun:
                yield "sun", season.sun
                yield "days_sun", season.days_sun
    yield "all_on", bank.all_on
    for way in bank.charging:
        yield from ((k, f) for k in ("current", "to_full", "per_day") if (f := getattr(way, k)))
    yield from (("drawn", bank.drawn), ("years", bank.years))


def of_table(tree, heading):
    """The rows of the first table that has a column of that name."""
    for table in tree.iter("table"):
        rows = [[words(cell) for cell in row] for row in table.iter("tr")]
        if heading in rows[0]:
            return rows[1:]
    raise LookupError(heading)


def test_every_assumption_has_its_words_and_none_is_idle():
    assert set(ENERGY["assumption"]) == set(get_args(Assumption))
    assert set(ENERGY["covered"]) == set(get_args(Covered))
    for text in ENERGY["assumption"].values():
        assert text.endswith(".")


def test_every_figure_and_symbol_has_its_words():
    terms = ENERGY["term"]
    assert set(terms) - {"any"} <= set(ENERGY["figure"])
    for van in VANS:
        for kind, figure in shown_figures(energy_of(van)):
            assert kind in ENERGY["figure"]
            for term in figure.terms:
                named = term.symbol in terms["any"] or term.symbol in terms.get(kind, {})
                assert named or re.fullmatch(r"month \d+", term.symbol), (kind, term.symbol)


@pytest.mark.parametrize("van", VANS)
def test_each_result_is_on_the_page_with_its_assumptions(van):
    said = words(page(van, PAGE))
    for kind, figure in shown_figures(energy_of(van)):
        sure = "up" if kind == "to_full" else "down"
        assert " ".join(spread(figure, sure).split()) in said, kind
        for one in figure.assumptions:
            assert ENERGY["assumption"][one] in said


def number_of(text):
    return inf if text == "∞" else float(text.replace("−", "-"))


def by_hand(line):
    """What a reader gets who types the shown sum into a calculator, and what the page says comes out."""
    left, _, right = line.rpartition(" = ")
    for sign, operator in (("·", "*"), ("−", "-"), (";", ","), ("^", "**")):
        left = left.replace(sign, operator)
    left = left.split(": ", 1)[-1]
    assert re.fullmatch(r"(?:[\d.\s*/+(),-]|min|ln)+", left), line
    try:
        return float(eval(left, {"min": min, "ln": log})), number_of(right.split()[0])
    except ZeroDivisionError:
        return inf, number_of(right.split()[0])


@pytest.mark.parametrize("van", VANS)
def test_the_sums_as_they_are_printed_come_out_by_hand(van):
    checked = 0
    for details in page(van, PAGE).iter("details"):
        if details.find("table") is None and not list(details.iter("table")):
            continue
        for item in details.iter("li"):
            line = words(item)
            if " = " not in line:
                continue
            again, shown = by_hand(line)
            covered = isinf(shown) and again < 0
            # the difference of two nearly equal numbers of three digits is good for little
            close = "−" in line.split("=")[0] and shown > 100
            assert covered or close or again == pytest.approx(shown, rel=0.06, abs=0.02), line
            checked += 1
    assert checked >= 15


@pytest.mark.parametrize("van", VANS)
def test_the_table_of_uses_adds_up_to_the_need(van):
    bank = energy_of(van)
    rows = of_table(page(van, PAGE), "Summer [Ah]")
    *uses, total = rows
    owners = {use.owner for season in bank.seasons.values() for use in season.uses}
    assert len(uses) == len(owners)
    for column, season in ((3, "summer"), (5, "winter")):
        low = sum(number_of(row[column].split(" to ")[0]) for row in uses if row[column])
        high = sum(number_of(row[column].split(" to ")[-1]) for row in uses if row[column])
        need = bank.seasons[season].need
        assert (low, high) == pytest.approx((need.low, need.high), rel=0.01)
        assert total[column] == " ".join(spread(need).split())


@pytest.mark.parametrize("van", VANS)
def test_the_months_are_those_of_the_budget(van):
    bank = energy_of(van)
    rows = of_table(page(van, PAGE), "Covered")
    assert len(rows) == 12
    for row, one in zip(rows, bank.months, strict=True):
        assert row[0].startswith(month(one.month))
        assert ("not used" in row[0]) != one.used
        assert row[1] == span(one.sun.low, one.sun.high, "")
        assert row[3] == ENERGY["covered"][one.covered]


@pytest.mark.parametrize("van", VANS)
def test_each_plot_is_drawn_and_has_its_twin(van):
    bank = energy_of(van)
    for path, count in ((PAGE, 1 + len(bank.charging)), ("charging.md", 1), ("electrician/circuits.md", 1)):
        tree = page(van, path)
        figures = [one for one in tree.iter("figure") if one.get("class") == "drawing"]
        twins = [one for one in tree.iter("details") if one.get("class") == "twin"]
        assert len(figures) == len(twins) == count, path
        for figure, twin in zip(figures, twins, strict=True):
            assert len(list(twin.iter("li"))) >= 2
            (drawing,) = figure.iter(f"{SVG}svg")
            assert words(drawing.find(f"{SVG}title")) in words(twin)


def test_the_demonstration_vans_show_both_a_sun_that_covers_and_one_that_does_not():
    said = {van: words(page(van, "charging.md")) for van in VANS}
    assert DRAWINGS["plot.sun_always"] in said["wren"]
    assert DRAWINGS["plot.sun_never"] in said["curlew"]
    assert WORDS["lasts.sun_covers"] in words(page("wren", "battery.md"))


@pytest.mark.parametrize("van", VANS)
def test_the_owner_reads_how_long_it_lasts_in_each_season_of_use(van):
    bank = energy_of(van)
    rows = of_table(page(van, "battery.md"), "Without charging")
    used = [season for season in bank.seasons.values() if season.months]
    assert [row[0].lower() for row in rows] == [season.season for season in used]
    for row, season in zip(rows, used, strict=True):
        dark = lasting(season.days_dark.low * 24, season.days_dark.high * 24)
        assert row[1] == " ".join(dark.split())
    years = owners_times(bank.years.low * YEAR_H, bank.years.high * YEAR_H, "down")
    assert f"after {' '.join(years.split())}" in words(page(van, "battery.md"))


@pytest.mark.parametrize("van", VANS)
def test_the_owner_reads_how_long_each_way_takes_to_full(van):
    said = words(page(van, "charging.md"))
    for way in energy_of(van).charging:
        low, high = way.to_full.low, way.to_full.high
        if way.to_full.unit == "h":
            assert isfinite(high)
            assert " ".join(owners_times(low, high, "up").split()) in said
        else:
            assert "of clear sunshine" in said


def test_times_are_never_longer_than_the_figures():
    assert lasting(33.9, 47.9) == "33 to 47\u00a0hours"
    assert lasting(47.0, 54.0) == "1½ to 2\u00a0days"
    assert lasting(26.0, 26.9) == "about 26\u00a0hours"
    assert lasting(inf, inf) == WORDS["lasts"]["sun_covers"]
    assert "sun" in lasting(30.0, inf)


def test_an_endless_time_is_a_word():
    months = Figure(3.0, inf, "d", "{Q} / ({V} − {S})", ())
    assert spread(months) == ENERGY.say("endless_at_best", low="3\u00a0days")
    assert spread(Figure(5.0, inf, "h", "{M}", ()), "up") == ENERGY.say("never_at_worst", low="5\u00a0h")
    assert spread(Figure(inf, inf, "h", "{M}", ()), "up") == ENERGY["never"]
    assert spread(Figure(inf, inf, "d", "{Q}", ())) == ENERGY["endless"]


def test_a_name_in_a_sum_is_text():
    figure = Figure(1.0, 1.0, "Ah", "{x y}", (Term("x y", 1.0, 1.0, "Ah"),))
    shown = working("sun", figure, lambda symbol: f"<b>{symbol}</b>", season="{0.__class__}")
    assert "<b>x y</b>" in shown.formula
    assert "{0.__class__}" in shown.title
