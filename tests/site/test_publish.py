"""Publishing: a failed build leaves what was there, a failing van is not handed over."""

import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.vans.small import put_into
from vandoc.doors.build import write_manual
from vandoc.doors.publish import publish
from vandoc.ground.errors import ChecksFailedError, SystemFileError, VandocError


@pytest.fixture
def wren(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "sites", tmp_path / "sites")
    return tmp_path / "sites/wren/van.yml"


@pytest.fixture
def dunlin(tmp_path: Path) -> Path:
    return put_into(tmp_path / "sites")


def snapshot(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def spoil(van_file: Path, text: str) -> None:
    van_file.write_text(van_file.read_text("utf-8") + text, "utf-8")


def test_a_file_that_cannot_be_used_leaves_the_old_manual(dunlin, tmp_path):
    out = tmp_path / "out"
    publish(dunlin, out)
    before = snapshot(out)
    spoil(dunlin, "\nnonsense: 1\n")
    with pytest.raises(SystemFileError, match="nonsense"):
        publish(dunlin, out)
    assert snapshot(out) == before


def test_a_stop_between_the_two_renames_is_repaired(dunlin, tmp_path):
    out = tmp_path / "out"
    target = publish(dunlin, out)
    target.rename(out / ".dunlin.old")
    spoil(dunlin, "\nnonsense: 1\n")
    with pytest.raises(SystemFileError):
        publish(dunlin, out)
    assert (target / "index.html").is_file()


def test_a_killed_build_leaves_the_old_manual_and_is_cleared_by_the_next(dunlin, tmp_path):
    out = tmp_path / "out"
    publish(dunlin, out)
    before = snapshot(out / "dunlin")
    command = [sys.executable, "-m", "vandoc", "build", str(dunlin), "--out", str(out)]
    for delay in (0.2, 0.5, 0.8, 1.1):
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            process.wait(delay)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        assert snapshot(out / "dunlin") == before
    publish(dunlin, out)
    assert [path.name for path in sorted(out.iterdir())] == ["dunlin"]


def test_output_that_cannot_be_written_says_so(dunlin, tmp_path):
    (tmp_path / "out").write_text("a file, not a folder")
    with pytest.raises(VandocError, match="out"):
        publish(dunlin, tmp_path / "out")


def test_a_page_of_the_workshop_is_added_and_never_replaced(dunlin, tmp_path):
    own = dunlin.parent / "pages"
    own.mkdir(exist_ok=True)
    (own / "ferry.md").write_text("# On a ferry\n\nKeep the main switch off below deck.\n")
    target = publish(dunlin, tmp_path / "out")
    assert "below deck" in (target / "ferry.html").read_text("utf-8")
    assert "ferry.html" in (target / "index.html").read_text("utf-8")
    (own / "battery.md").write_text("# Mine\n")
    with pytest.raises(VandocError, match=r"battery\.md"):
        publish(dunlin, tmp_path / "out")


def test_a_van_that_fails_is_not_built_unless_as_a_draft(wren, tmp_path):
    text = wren.read_text("utf-8")
    assert text.count("purpose: split-charge") == 1
    wren.write_text(text.replace("regulation: fixed", "regulation: smart"), "utf-8")
    with pytest.raises(ChecksFailedError, match="smart"):
        publish(wren, tmp_path / "out")
    assert not (tmp_path / "out/wren").exists()
    target = publish(wren, tmp_path / "out", draft=True)
    assert "draft" in (target / "index.html").read_text("utf-8").lower()


def test_a_link_within_html_that_leads_nowhere_stops_the_build(dunlin, tmp_path, monkeypatch):
    planted = '\n<p><a href="nowhere.html">one</a> <a href="safe.html#no-such-anchor">two</a></p>\n'

    def spoilt(van):
        pages = write_manual(van)
        return replace(pages, files=pages.files | {"cautions.md": f"{pages.files['cautions.md']}{planted}"})

    monkeypatch.setattr("vandoc.doors.plugin.write_manual", spoilt)
    with pytest.raises(VandocError) as refused:
        publish(dunlin, tmp_path / "out")
    assert "cautions.md: the link to 'nowhere.html' leads nowhere" in str(refused.value)
    assert "'safe.html#no-such-anchor', but the doc 'safe.md' does not contain an anchor" in str(
        refused.value
    )
    assert not (tmp_path / "out/dunlin").exists()
