"""What feeds a changeover switch in each position: read off the drawing of a van by hand."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.physics.network import isolation
from vandoc.physics.network.positions import positions, turned
from vandoc.reading.loader import load

DRIVEN = Path(__file__).parents[1] / "vans/pairs/vans/driven.yml"


@pytest.fixture(scope="module")
def van():
    return Van.of(load(DRIVEN))


def test_each_position_names_what_feeds_it(van):
    usual, other = positions(van.system, van.network, "changeover")
    assert (usual.name, usual.usual, usual.sources) == ("a", True, ("converter",))
    assert (other.name, other.usual) == ("b", False)
    assert set(other.sources) == {"house", "driving", "solar"}


def test_an_item_with_one_position_has_none_to_name(van):
    assert positions(van.system, van.network, "isolator") == ()
    assert turned(van.system, "isolator") is van.system


def test_the_other_position_may_keep_a_load_live(tmp_path):
    """The second way begins before the main switch, so that the screen is live in that position only."""
    text = DRIVEN.read_text("utf-8")
    old = "from: plus, to: direct-fuse.in"
    assert text.count(old) == 1
    path = tmp_path / "van.yml"
    path.write_text(text.replace(old, "from: main-fuse.out, to: direct-fuse.in"), "utf-8")
    system = Van.of(load(path)).system
    live = []
    for one in (system, turned(system, "changeover")):
        network = Van(one).network
        live.append(isolation.live(one, network, isolation.safest(one, network)).all_pieces)
    assert "screen" in live[1] - live[0]
