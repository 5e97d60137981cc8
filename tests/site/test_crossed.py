"""A van with crossed batteries is published as a draft only, and its pages say what is wrong."""

import shutil

import pytest
import yaml
from click.testing import CliRunner

from tests.conftest import ROOT
from vandoc.doors.cli import main


@pytest.fixture
def crossed(tmp_path):
    """The Wren with a second battery whose cables, one thick and one thin, are exchanged."""
    shutil.copytree(ROOT / "sites/parts", tmp_path / "parts")
    shutil.copytree(ROOT / "sites/wren", tmp_path / "wren", ignore=shutil.ignore_patterns("revisions"))
    path = tmp_path / "wren" / "van.yml"
    plain = yaml.safe_load(path.read_text("utf-8"))
    plain["equipment"]["second"] = {**plain["equipment"]["house"], "name": "second battery"}
    plain["cables"] += [
        {"id": "link-plus", "from": "second.+", "to": "house.-", "length": "0.3 m", "area": "35 mm²"},
        {"id": "link-minus", "from": "second.-", "to": "house.+", "length": "3 m", "area": "1.5 mm²"},
    ]
    path.write_text(yaml.safe_dump(plain, sort_keys=False, allow_unicode=True), "utf-8")
    return path


def test_crossed_batteries_are_built_as_a_draft_only(crossed, tmp_path):
    out = tmp_path / "out"
    refused = CliRunner().invoke(main, ["build", str(crossed), "--out", str(out)])
    assert refused.exit_code == 1
    assert "batteries-crossed" in refused.output
    assert not (out / "wren").exists()
    drafted = CliRunner().invoke(main, ["build", str(crossed), "--out", str(out), "--draft"])
    assert drafted.exit_code == 0, drafted.output
    pages = {path: path.read_text("utf-8") for path in (out / "wren").rglob("*.html")}
    assert any("batteries-crossed" in text for text in pages.values())
    assert "draft" in pages[out / "wren" / "index.html"].lower()
