"""What chargers and panels feed into a fault to the body for hours: sums by hand."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.reading.loader import load

BONDED = Path(__file__).parents[1] / "vans/pairs/vans/bonded.yml"
MAINS = "  mains: {kind: charger, name: mains charger, place: box, source: mains, output: 30 A}\n"
WIRES = (
    "  - {id: mains-out, from: mains.out, to: main-board.4, length: 0.6 m, area: 10 mm²}\n"
    "  - {id: mains-minus, from: mains.-, to: minus, length: 0.6 m, area: 10 mm²}\n"
)


@pytest.fixture
def feeding(tmp_path):
    def of(*changes):
        text = BONDED.read_text("utf-8")
        for old, new in changes:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        path = tmp_path / "van.yml"
        path.write_text(text, "utf-8")
        return {(one.cable.id, one.panels): one for one in Van.of(load(path)).body_feeding}

    return of


def test_chargers_that_run_together_add_up_in_the_bond(feeding):
    found = feeding(
        ("  panel-switch: {kind", MAINS + "  panel-switch: {kind"), ("circuits:", WIRES + "circuits:")
    )
    bond = found["bond", False]
    assert set(bond.sources) == {"mains", "solar"}
    assert bond.amps_a == pytest.approx(30 + 15)
    assert found["mains-minus", False].amps_a == pytest.approx(30)  # its own current alone


def test_a_fuse_that_surely_blows_ends_it(feeding):
    """A strip fuse of 30 A surely blows from 60 A: a charger of 60 A blows it, one of 59 A need not."""
    at_limit = feeding(("output: 15 A", "output: 60 A"))
    assert at_limit["bond", False].terminal.startswith("solar.out")
    below = feeding(("output: 15 A", "output: 59 A"))
    assert below["bond", False].amps_a == pytest.approx(59)


def test_panels_give_their_short_circuit_current_in_the_brightest_sun(feeding):
    found = feeding(("isc: 6 A, vmp: 18 V,", "isc: 6 A, vmp: 18 V, parallel: 2, series: 2, bypass: true,"))
    for cable in ("bond", "solar-minus", "panel-minus"):
        assert found[cable, True].amps_a == pytest.approx(1.25 * 2 * 6)


def test_an_isolated_controller_lets_nothing_back(feeding):
    assert ("panel-minus", True) not in feeding(("common: negative", "common: isolated"))
