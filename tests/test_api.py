"""The public Python API: the README's four lines as they are there, typed, and cheap to import."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

import vandoc
from vandoc.doors.cli import main

ROOT = Path(__file__).parents[1]
LINES = re.compile(r"<!-- four lines -->\n```python\n(.*?)```\n<!-- end -->", re.DOTALL)
HEAVY = ["pydantic", "pint", "yaml", "click", "mkdocs", "jinja2", "graphviz", "weasyprint", "PIL"]


@pytest.fixture(scope="module")
def four_lines() -> str:
    (lines,) = LINES.findall((ROOT / "README.md").read_text("utf-8"))
    return lines


def test_the_readme_reads_checks_builds_and_prints_in_four_lines(four_lines, tmp_path, monkeypatch):
    assert len([line for line in four_lines.splitlines() if line and not line.startswith("import")]) == 4
    monkeypatch.chdir(tmp_path)
    assert CliRunner().invoke(main, ["new", "sites/teal", "--no-input"]).exit_code == 0  # as the README does
    made: dict = {}
    exec(compile(four_lines, "README.md", "exec"), made)
    assert isinstance(made["van"], vandoc.Van)
    assert made["van"].system.van.name in (made["manual"] / "index.html").read_text("utf-8")
    assert {finding.severity for finding in made["findings"]} <= {"review", "note"}
    assert {path.suffix for path in made["printed"]} == {".pdf", ".csv"}
    assert all(path.stat().st_size for path in made["printed"])
    assert (made["manual"].parent, made["printed"][0].parents[-3]) == (Path("manuals"), Path("paper/teal"))


def test_importing_loads_no_library():
    code = f"import sys, vandoc; print([name for name in {HEAVY} if name in sys.modules])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_every_public_name_is_there_and_described():
    assert set(vandoc._HOMES) <= set(vandoc.__all__)
    folder = Path(vandoc.__file__).parent
    for name in vandoc.__all__:
        assert not (folder / name).exists(), "a folder of the package would take its place once imported"
        assert getattr(vandoc, name).__doc__, name
    with pytest.raises(AttributeError, match="'nothing'"):
        _ = vandoc.nothing


def test_the_package_says_that_it_is_typed():
    assert (Path(vandoc.__file__).parent / "py.typed").is_file()


def test_errors_are_those_of_the_api(tmp_path):
    file = tmp_path / "van.yml"
    file.write_text("van: {name: x}\n")
    with pytest.raises(vandoc.SystemFileError, match=r"van\.yml:1:"):
        vandoc.read(str(file))
    with pytest.raises(ValueError, match="not a printed document: posters; choose from labels"):
        vandoc.print_paper(vandoc.read(ROOT / "sites/wren/van.yml"), tmp_path, only=["posters"])
