"""The demonstration vans, ready for fault-finding."""

from pathlib import Path

import pytest

from vandoc.build import judge
from vandoc.diagnosis.symptoms import Diagnosis

SITES = Path(__file__).parents[2] / "sites"
NAMES = ("curlew", "heron", "wren")


@pytest.fixture(scope="session")
def diagnoses() -> dict[str, Diagnosis]:
    """Each demonstration van by name."""
    judged = {name: judge(SITES / name / "van.yml") for name in NAMES}
    return {name: Diagnosis(van.van_file.system, van.network, van.sizing) for name, van in judged.items()}
