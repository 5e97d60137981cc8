"""A van with its part sheets below the folder of a workshop."""

import shutil
from pathlib import Path

import pytest

from tests.conftest import ROOT
from vandoc.ground.errors import SystemFileError
from vandoc.reading.loader import load


@pytest.fixture
def wren(tmp_path: Path) -> Path:
    """The small demonstration van, in a folder of its own with its part sheets; no workshop file yet."""
    shutil.copytree(ROOT / "sites/wren", tmp_path / "vans/wren")
    shutil.copytree(ROOT / "sites/parts", tmp_path / "vans/parts")
    return tmp_path / "vans/wren/van.yml"


@pytest.fixture
def shop(wren: Path):
    """Write the workshop file above the van and return its path."""

    def write(text: str) -> Path:
        path = wren.parents[2] / "workshop.yml"
        path.write_text(text, "utf-8")
        return path

    return write


@pytest.fixture
def change(wren: Path):
    """Replace text in the van file that it has once."""

    def replace(old: str, new: str) -> None:
        text = wren.read_text("utf-8")
        assert text.count(old) == 1, old
        wren.write_text(text.replace(old, new), "utf-8")

    return replace


@pytest.fixture
def problems(wren: Path):
    """The lines of the error with which the van is refused."""

    def read() -> list[str]:
        with pytest.raises(SystemFileError) as caught:
            load(wren, wren.parents[2])
        return str(caught.value).splitlines()

    return read
