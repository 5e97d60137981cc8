"""A cable is told the fuse that protects it, and none that it is not connected to."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.judgement.checks import run
from vandoc.reading.loader import load

DRIVEN = Path(__file__).parents[1] / "vans/pairs/vans/driven.yml"
OUTPUT = "output_voltage: 12 V, output: 10 A"


@pytest.mark.parametrize("output_a", [10, 30])
def test_the_limit_of_a_converter_is_not_taken_for_the_rating_of_a_fuse_before_it(tmp_path, output_a):
    """30 A is also the rating of the fuse before the converter, which no current behind it passes."""
    text = DRIVEN.read_text("utf-8")
    assert text.count(OUTPUT) == 1
    path = tmp_path / "van.yml"
    path.write_text(text.replace(OUTPUT, f"output_voltage: 12 V, output: {output_a} A"), "utf-8")
    found = [f.subject for f in run(Van.of(load(path))) if f.rule == "fuse-may-overload"]
    assert "converter-out" not in found
