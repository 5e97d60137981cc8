"""The survey sheet: true to scale, and asking what a van file has a key for."""

from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest
from click.testing import CliRunner

from tests.paper.pdfs import assert_fit_for_everybody, filled, reader
from vandoc.doors.cli import main
from vandoc.model import equipment as eq
from vandoc.model.base import StrictModel, key_of
from vandoc.model.system import System
from vandoc.paper.survey import SCALE, SMALL_M, WORDS, survey


def parts_in(annotation) -> list[type[StrictModel]]:
    """Every class of the model that a field may hold."""
    if annotation is eq.Piece:
        return list(eq.kinds().values())
    if isinstance(annotation, type) and issubclass(annotation, StrictModel):
        return [annotation]
    return [part for inner in get_args(annotation) for part in parts_in(inner)]


def fields(part: type[StrictModel]):
    return {field.alias or key_of(name): field for name, field in part.model_fields.items()}


def known(path: str) -> bool:
    steps, parts = path.split("."), [System]
    while steps:
        step = steps.pop(0)
        if step in eq.kinds():
            parts = [eq.kinds()[step]]
            continue
        found = [fields(part)[step] for part in parts if step in fields(part)]
        if not found:
            return False
        parts = [part for field in found for part in parts_in(field.annotation)]
    return True


def keys():
    said = WORDS.tree
    for part in ("van", "use", "source"):
        yield from (row["key"] for row in said[part]["rows"] if "key" in row)
    for table in (said["fitted"], *said["tables"]):
        yield from (key for key in table["keys"] if key)


def test_every_key_on_the_sheet_is_one_of_the_van_file():
    assert len(list(keys())) > 35
    assert [key for key in keys() if not known(key)] == []
    assert not known("van.registration")


def test_each_table_has_a_width_and_a_key_for_each_head():
    for table in (WORDS["fitted"], *WORDS["tables"]):
        assert len(table["heads"]) == len(table["keys"]) == len(table["widths"])
        assert sum(table["widths"]) == 100


def test_the_grid_is_true_to_scale():
    found = reader(survey())
    page = next(page for page in found.pages if "The van from above" in page.extract_text())
    lines = [box for box in filled(page) if box.height > 150 and box.width < 0.3]
    places = sorted({round(box.x + 0.05, 2) for box in lines})
    steps = [b - a for a, b in pairwise(places)]
    assert len(places) == 51
    assert all(step == pytest.approx(1000 * SMALL_M / SCALE, abs=0.1) for step in steps)
    assert places[-1] - places[0] == pytest.approx(5000 / SCALE, abs=0.1)
    tall = max(box.height for box in lines)
    assert tall == pytest.approx(7500 / SCALE, abs=0.1)


def test_the_sheet_is_accessible_and_always_the_same():
    assert_fit_for_everybody(survey())
    assert survey() == survey()
    assert len(reader(survey()).pages) == 7


def test_the_command_writes_it_and_replaces_nothing(tmp_path: Path):
    out = tmp_path / "survey.pdf"
    assert CliRunner().invoke(main, ["survey", str(out)]).exit_code == 0
    before = out.read_bytes()
    assert before == survey()
    again = CliRunner().invoke(main, ["survey", str(out)])
    assert again.exit_code == 2
    assert "was not overwritten" in again.stderr
    assert out.read_bytes() == before
