"""The demonstration vans, ready for fault-finding."""

from pathlib import Path

import pytest

from vandoc.build import read
from vandoc.diagnosis.symptoms import Diagnosis

SITES = Path(__file__).parents[2] / "sites"
NAMES = ("curlew", "heron", "wren")


@pytest.fixture(scope="session")
def diagnoses() -> dict[str, Diagnosis]:
    """Each demonstration van by name."""
    return {name: Diagnosis(read(SITES / name / "van.yml")) for name in NAMES}
