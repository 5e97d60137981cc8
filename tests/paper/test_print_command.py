"""`vandoc print`: what it writes, what it says, and how it ends."""

import csv
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tests.conftest import ROOT
from tests.paper.books import book
from vandoc.doors.cli import main
from vandoc.doors.cli.printing import KINDS as OFFERED
from vandoc.doors.output import MARK
from vandoc.ground.errors import VandocError
from vandoc.pages.manual import lists
from vandoc.paper.pdf import address, to_pdf
from vandoc.paper.printing import KINDS


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(ROOT / "sites", tmp_path / "sites")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> Result:
    result = CliRunner().invoke(main, ["print", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.output
    return result


def test_labels_and_lists_are_written_whole(here):
    result = run("sites/wren/van.yml", "--out", "paper", "--only", "labels", "--only", "lists")
    assert result.exit_code == 0, result.output
    folder = here / "paper/wren"
    names = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert names - {MARK} == {"labels.pdf", *lists.files(book("wren"))}
    assert (folder / "labels.pdf").read_bytes().startswith(b"%PDF-1.7")
    assert next(csv.reader((folder / "lists/spares.csv").open(encoding="utf-8-sig")))[0] == "kind"
    assert all(str(Path("paper/wren", name)) in result.stdout for name in names - {MARK})


def test_an_unknown_sheet_names_those_there_are(here):
    result = run("sites/wren/van.yml", "--out", "paper", "--labels", "4x4")
    assert result.exit_code == 2
    assert "unknown label sheet '4x4'; valid sheets: 3x8, 2x7" in result.stderr
    assert not (here / "paper").exists()


def test_a_failing_van_is_printed_as_a_draft_only(here):
    van = here / "sites/wren/van.yml"
    van.write_text(van.read_text("utf-8").replace("regulation: fixed", "regulation: smart"), "utf-8")
    result = run("sites/wren/van.yml", "--out", "paper", "--only", "lists")
    assert result.exit_code == 1
    assert "--draft" in result.stderr
    assert not (here / "paper").exists()
    assert run("sites/wren/van.yml", "--out", "paper", "--only", "lists", "--draft").exit_code == 0


def test_two_vans_of_one_name_are_refused(here):
    shutil.copytree(here / "sites/wren", here / "elsewhere/wren")
    result = run("sites/wren/van.yml", "elsewhere/wren/van.yml", "--out", "paper")
    assert result.exit_code == 2
    assert not (here / "paper").exists()


@pytest.mark.usefixtures("here")
def test_a_file_in_the_way_is_an_error_and_stays():
    Path("paper").write_text("mine", "utf-8")
    result = run("sites/wren/van.yml", "--out", "paper", "--only", "lists")
    assert result.exit_code == 2
    assert "cannot be written" in result.stderr
    assert Path("paper").read_text("utf-8") == "mine"


@pytest.mark.parametrize(
    "url", ["https://example.org/x.png", "file:///etc/hostname", address("not-given.svg")]
)
def test_a_document_can_ask_for_nothing_that_was_not_given(url):
    html = f'<!doctype html><html lang="en"><title>x</title><body><img src="{url}" alt="x"></body></html>'
    with pytest.raises(VandocError, match="which is not part of it"):
        to_pdf(html, {}, "x")


def test_without_the_library_the_command_says_what_to_install(here):
    code = "import sys; sys.modules['weasyprint'] = None; import vandoc.doors.cli; vandoc.doors.cli.main()"
    command = [sys.executable, "-c", code, "print", "sites/wren/van.yml", "--out", "paper"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=here, env={**os.environ}, check=False)
    assert done.returncode == 2
    assert "pip install 'vandoc[paper]'" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_command_offers_all_that_is_printed():
    assert OFFERED == KINDS  # named twice, so that asking for help loads no library of print
