"""The demonstration vans, ready for fault-finding."""

from pathlib import Path

import pytest

from vandoc.analysis.diagnosis.symptoms import Diagnosis
from vandoc.doors.build import read

SITES = Path(__file__).parents[2] / "sites"
NAMES = ("curlew", "heron", "wren")


@pytest.fixture(scope="session")
def diagnoses() -> dict[str, Diagnosis]:
    """Each demonstration van by name."""
    return {name: Diagnosis(read(SITES / name / "van.yml")) for name in NAMES}
