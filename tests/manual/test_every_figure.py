"""Every quantity of a van is one figure on every page; its exact value tells which quantity it is.

Each call that turns a number into a figure is noted, with the function that asked for it.
A calculated number has so many digits that the same one is the same quantity.
"""

import re
import sys
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import vandoc
from tests.manual.manuals import VANS
from vandoc.doors.build import read, write_manual
from vandoc.ground import figures

ROOT = Path(vandoc.__file__).parent
SITES = ROOT.parent / "sites"
FIGURES = (figures.quantity, figures.number, figures.fixed)
PREFIX = {"k": 1e3, "m": 1e-3, None: 1.0}
NUMBER = re.compile("(\u2212?[\\d.]+)\u00a0?(?:([km])(?=[AVΩs]))?")
OWN_RULE = ("ground/figures/", "pages/diagram/plots/sun.py")
"""Times, and what owners read: two digits at most, rounded to the safe side."""

Places = dict[float, dict[str, set[str]]]


def in_unit(figure: str) -> float:
    """The number that a figure says, without the prefix of its unit."""
    match = NUMBER.match(figure)
    assert match, figure
    return round(float(match[1].replace("\u2212", "-")) * PREFIX[match[2]], 12)


def is_known_by_its_value(value: float) -> bool:
    """Whether a number is neither short nor a simple fraction, which different quantities can have."""
    return all(abs(value * part - round(value * part, 3)) > 1e-9 * abs(value) for part in range(1, 13))


def noting(figure: Callable[..., str], noted: Places) -> Callable[..., str]:
    def wrapped(value: float, *args: Any, **named: Any) -> str:
        shown = figure(value, *args, **named)
        code = sys._getframe(1).f_code
        place = Path(code.co_filename)
        if place.is_relative_to(ROOT):
            where = f"{place.relative_to(ROOT).as_posix()}, {code.co_name}"
            if not where.startswith(OWN_RULE):
                noted[float(value)][shown].add(where)
        return shown

    return wrapped


@pytest.fixture(scope="module", params=VANS)
def noted(request) -> Places:
    """Where each number of a van is made a figure, by its exact value and by the figure."""
    found: Places = defaultdict(lambda: defaultdict(set))
    wrapped = {figure: noting(figure, found) for figure in FIGURES}
    with pytest.MonkeyPatch.context() as patch:
        for name, module in list(sys.modules.items()):
            if name.startswith("vandoc."):
                for attribute, value in list(vars(module).items()):
                    if any(value is figure for figure in FIGURES):
                        patch.setattr(module, attribute, wrapped[value])
        write_manual(read(SITES / request.param / "van.yml"))
    return found


def test_every_quantity_is_one_figure_on_all_pages(noted):
    known = {value: figure for value, figure in noted.items() if is_known_by_its_value(value)}
    differing = {
        value: dict(shown) for value, shown in known.items() if len({in_unit(text) for text in shown}) > 1
    }
    assert differing == {}
    assert len(known) > 400
    assert sum(len(set.union(*shown.values())) > 1 for shown in known.values()) > 50, (
        "most are made in one place"
    )


def test_two_roundings_of_one_quantity_are_seen():
    found: Places = defaultdict(lambda: defaultdict(set))
    for figure, more in ((figures.number, ()), (figures.fixed, (0,)), (figures.quantity, ("A",))):
        found[78.59482260450912][figure(78.59482260450912, *more)].add("somewhere")
    assert is_known_by_its_value(78.59482260450912)
    assert {in_unit(text) for text in found[78.59482260450912]} == {78.6, 79.0}
    assert in_unit(figures.quantity(8827.4123456, "A")) == in_unit(figures.number(8827.4123456))
    assert not is_known_by_its_value(16.666666666666668)
