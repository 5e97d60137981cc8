"""What stands in an output folder already: vandoc's own is replaced, anything else stays."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from mkdocs.__main__ import cli as mkdocs

from tests.output.vans import CONFIG, everything, make
from vandoc.doors.cli import main
from vandoc.doors.output import MARK, Lock, folder, read_mark
from vandoc.doors.output.mark import OLD_WORKER

BUILD = ("build", "tern/van.yml", "--out", "out", "--draft")
PRINT = ("print", "tern/van.yml", "--out", "out", "--only", "lists", "--draft")


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    make(tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(words: tuple[str, ...] | list[str], status: int = 0) -> str:
    result: Result = CliRunner().invoke(main, list(words))
    assert result.exit_code == status, (result.output, result.exception)
    return result.output


def listed(out: Path) -> set[str]:
    return {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()} - {MARK}


@pytest.mark.parametrize("words", [BUILD, PRINT], ids=["build", "print"])
def test_an_empty_folder_is_filled_marked_and_filled_again(here, words):
    out = here / "out/tern"
    out.mkdir(parents=True)
    run(words)
    mark = read_mark(out)
    assert mark is not None
    assert mark.kind == ("manual" if words is BUILD else "print")
    assert mark.files == listed(out) != set()
    first = everything(here)
    run(words)
    assert everything(here) == first


@pytest.mark.parametrize("words", [BUILD, PRINT], ids=["build", "print"])
def test_a_file_added_to_the_output_is_not_deleted(here, words):
    run(words)
    own = here / "out/tern/notes/mine.txt"
    own.parent.mkdir()
    own.write_text("mine")
    before = everything(here)
    said = run(words, 2)
    assert "out/tern/notes/mine.txt: was not written by vandoc and would be deleted; move it" in said
    assert everything(here) == before
    own.unlink()
    run(words)


def test_manual_and_printed_documents_do_not_replace_each_other(here):
    run(BUILD)
    before = everything(here)
    assert "another kind of output (a manual)" in run(PRINT, 2)
    assert everything(here) == before
    shutil.rmtree(here / "out")
    run(PRINT)
    assert "another kind of output (printed documents)" in run(BUILD, 2)


def test_printing_less_keeps_what_was_printed_before(here):
    run(PRINT)
    before = listed(here / "out/tern")
    run([*PRINT[:4], "--only", "labels", "--draft"])
    now = read_mark(here / "out/tern")
    assert now is not None
    assert now.files == before | {"labels.pdf"} == listed(here / "out/tern")


def test_a_manual_from_before_there_were_marks_is_known_by_its_worker(here):
    old = here / "out/tern"
    old.mkdir(parents=True)
    (old / "index.html").write_text("old")
    (old / "sw.js").write_bytes(b"// some other worker\n")
    before = everything(here)
    assert "was not written by vandoc" in run(BUILD, 2)
    assert everything(here) == before
    (old / "sw.js").write_bytes(OLD_WORKER + b" A new version is fetched ...\n")
    run(BUILD)
    assert (old / "index.html").read_text("utf-8") != "old"


def test_a_folder_that_only_file_managers_wrote_in_is_empty(here):
    out = here / "out/tern"
    out.mkdir(parents=True)
    (out / ".DS_Store").write_bytes(b"")
    run(BUILD)


@pytest.mark.parametrize("content", ["", "{", '{"vandoc": "else"}', "[]", '{"vandoc": 3}'])
def test_a_file_of_the_marks_name_is_no_mark(here, content):
    out = here / "out/tern"
    out.mkdir(parents=True)
    (out / MARK).write_text(content)
    (out / "mine.txt").write_text("mine")
    assert "was not written by vandoc" in run(BUILD, 2)
    assert (out / "mine.txt").read_text() == "mine"


def test_a_mark_that_was_cut_short_is_of_a_folder_that_was_being_written(tmp_path):
    text = json.dumps({"vandoc": "manual", "files": ["index.html"]})
    for length in range(len('{"vandoc": "manual"'), len(text)):
        (tmp_path / MARK).write_text(text[:length])
        mark = read_mark(tmp_path)
        assert mark is not None
        assert mark.files is None
    (tmp_path / MARK).write_text(text + "}left over from a longer mark")
    mark = read_mark(tmp_path)
    assert mark is not None
    assert mark.files == {"index.html"}


def test_the_output_may_be_a_link_and_stays_one(here):
    (here / "www").mkdir()
    (here / "out").mkdir()
    (here / "out/tern").symlink_to("../www")
    for _ in range(2):
        run(BUILD)
        assert (here / "out/tern").is_symlink()
        assert (here / "www/index.html").is_file()
    assert sorted(path.name for path in here.iterdir()) == ["docs", "out", "parts", "tern", "www"]


@pytest.mark.parametrize("name", [".tern.new", ".tern.old"])
def test_a_folder_of_others_with_a_working_name_stays(here, name):
    own = here / "out" / name / "mine.txt"
    own.parent.mkdir(parents=True)
    own.write_text("mine")
    result = CliRunner().invoke(main, list(BUILD))
    assert own.read_text() == "mine"
    assert result.exit_code == (2 if name == ".tern.new" else 0)
    assert (name in result.output) == (name == ".tern.new")


def test_nothing_is_left_when_nothing_is_made(here):
    before = everything(here)
    run(["build", "tern/van.yml", "--out", "deep/down/out"], 1)  # it fails its checks
    run(["print", "tern/van.yml", "--out", "deep/down/out"], 1)
    assert everything(here) == before


@pytest.mark.parametrize("words", [BUILD, PRINT], ids=["build", "print"])
def test_of_two_at_once_one_wins_and_the_other_is_told(here, words):
    run(words)
    before = everything(here)
    (here / "out/.tern.new").mkdir()
    lock = Lock(here / "out/.tern.new" / MARK)  # as the first of two has it
    said = run(words, 2)
    assert "another vandoc command is writing this folder; wait until it ends" in said
    lock.remove()
    (here / "out/.tern.new").rmdir()
    assert everything(here) == before
    run(words)


def test_of_two_processes_at_once_one_wins(here):
    """However they meet: none fails without saying why, and a whole manual is there."""
    command = [sys.executable, "-m", "vandoc", *BUILD]
    running = [subprocess.Popen(command, stderr=subprocess.PIPE, text=True) for _ in range(2)]
    ended = [(process.communicate()[1], process.returncode) for process in running]
    assert sorted(status for _, status in ended) in ([0, 0], [0, 2])
    assert all(status == 0 or "another vandoc command is writing" in said for said, status in ended)
    mark = read_mark(here / "out/tern")
    assert mark is not None
    assert mark.files == listed(here / "out/tern")
    assert [path.name for path in (here / "out").iterdir()] == ["tern"]


@pytest.mark.parametrize("edited", ["van.yml", "pages/ferry.md", "../parts/board.yml", "pages/new.md"])
@pytest.mark.parametrize("command", ["build", "print"])
def test_an_editor_that_saves_meanwhile_wins_and_the_command_is_told(here, monkeypatch, command, edited):
    words = BUILD if command == "build" else PRINT
    run(words)
    before = everything(here / "out")
    from vandoc.doors import build

    real = build.read

    def saving(*given: object) -> object:
        van = real(*given)  # type: ignore[arg-type]
        with (here / "tern" / edited).open("a") as stream:
            stream.write("\n# saved\n")
        return van

    monkeypatch.setattr(
        "vandoc.doors.plugin.read" if command == "build" else "vandoc.doors.build.read", saving
    )
    said = run(words, 2)
    assert f"{Path(edited).name}: changed while this command was running; nothing was written" in said
    assert everything(here / "out") == before
    assert (here / "tern" / edited).read_text("utf-8").endswith("# saved\n")
    monkeypatch.undo()
    monkeypatch.chdir(here)
    run(words)


@pytest.mark.parametrize("linux", [False, True], ids=["another system", "an old Linux"])
def test_the_second_build_works_where_folders_cannot_be_exchanged(here, monkeypatch, linux):
    """As on systems without the call: it is not asked for at all, or is not there."""
    asked = []

    def no_library(name: object) -> object:
        asked.append(name)
        if not linux:
            raise TypeError("LoadLibrary() argument 1 must be str, not None")  # what Windows says
        return object()

    monkeypatch.setattr(folder.ctypes, "CDLL", no_library)
    monkeypatch.setattr(folder, "EXCHANGES", linux)
    run(BUILD)
    (here / "tern/pages/second.md").write_text("# Second\n")
    run(BUILD)
    assert (here / "out/tern/second.html").is_file()
    assert [path.name for path in (here / "out").iterdir()] == ["tern"]
    assert bool(asked) == linux


def test_without_exchange_a_rename_that_fails_puts_the_old_one_back(here, monkeypatch):
    monkeypatch.setattr(folder, "_exchanged", lambda *_: False)
    run(BUILD)
    before = everything(here)
    real = Path.rename

    def failing(self: Path, target: Path) -> Path:
        if self.name == folder.FRESH:
            raise PermissionError(13, os.strerror(13), str(target))
        return real(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    assert "cannot be written: Permission denied" in run(BUILD, 2)
    assert everything(here) == before


def site(here: Path) -> Path:
    (here / "mkdocs.yml").write_text(CONFIG.format(site="site"))
    return here / "site"


def test_the_plugin_marks_its_folder_and_replaces_it(here):
    out = site(here)
    for _ in range(2):
        result = CliRunner().invoke(mkdocs, ["build"])
        assert result.exit_code == 0, result.output
        mark = read_mark(out)
        assert mark is not None
        assert mark.files == listed(out)
    (out / "mine.txt").write_text("mine")
    before = everything(here)
    result = CliRunner().invoke(mkdocs, ["build"])
    assert result.exit_code == 1
    assert "mine.txt: was not written by vandoc" in result.output
    assert everything(here) == before


def test_of_two_builds_by_the_plugin_the_second_is_told(here):
    out = site(here)
    assert CliRunner().invoke(mkdocs, ["build"]).exit_code == 0
    before = everything(here)
    lock = Lock(out / MARK)
    result = CliRunner().invoke(mkdocs, ["build"])
    lock.release()
    assert result.exit_code == 1
    assert "another vandoc command is writing" in result.output
    assert everything(here) == before
    assert CliRunner().invoke(mkdocs, ["build"]).exit_code == 0
