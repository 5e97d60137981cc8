"""A sound van that is small, for tests in which it does not matter how much there is of anything."""

from tests.conftest import ROOT

SMALL = ROOT / "tests/vans/pairs/vans/small_agm.yml"
