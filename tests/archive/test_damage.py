"""Damaged and unfinished histories: told with their place, finished or undone, and never a dead end."""

import os
import re
import shutil
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.recording.vans import SMALL
from vandoc.doors.cli import main
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.reading import archive, editing
from vandoc.reading.archive import folder_of, keep, repair, revisions, writing
from vandoc.reading.archive.revision import seal_of
from vandoc.reading.loader import load

DAY = date(2026, 3, 14)
COMMANDS = ["check", "size", "prove", "record", "service", "revise", "build", "print"]


@pytest.fixture
def tern(tmp_path: Path) -> Path:
    """A small van with three revisions."""
    van_file = tmp_path / "tern/van.yml"
    van_file.parent.mkdir()
    van_file.write_text(SMALL, "utf-8")
    for number in range(3):
        edit(van_file, number)
        keep(van_file, f"step {number}", DAY)
    return van_file


def edit(path: Path, number: int) -> None:
    """One more change of what the file says."""
    path.write_text(f"{path.read_text('utf-8')}services: []\n" if number == 0 else _with_visit(path, number))


def _with_visit(path: Path, number: int) -> str:
    visit = f"  - {{date: 2026-03-{number:02d}, by: Bench {number}}}\n"
    text = path.read_text("utf-8").replace("services: []\n", "services:\n")
    return f"{text}{visit}"


def check(path: Path) -> str:
    """The output of `check`, which never ends in a traceback."""
    return told("check", path)


def told(*arguments: object) -> str:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result.output


def sealed(path: Path, old: str, new: str) -> None:
    """Change a copy and give it the seal of what it says now, as only a machine would."""
    text = path.read_text("utf-8")
    assert old in text
    body = text[: text.rindex("# seal: ")].replace(old, new)
    path.write_text(f"{body}# seal: {seal_of(body)}\n", "utf-8")


HEADS = {
    "impossible date": ("date: 2026-03-14", "date: 2026-02-30", "archived.date: '2026-02-30' is not valid"),
    "no date": ("date: 2026-03-14", "date: [1]", "archived.date: [1] is not valid here"),
    "nesting": ("before: ", f"before: {'[' * 5000}{']' * 5000}, x: ", "nesting depth"),
    "depth": ("before: ", f"before: {'[' * 25}{']' * 25}, x: ", "levels deep"),
    "unclosed": ("before: ", "before: {", "not valid YAML"),
    "character": ("step 1", "step \x07", "not valid YAML: "),
    "keys": ("before: ", "after: ", "these are not the entries of a revision"),
    "number": ("revision: 2,", "revision: 7,", "this is revision 7, not 2"),
    "no head": ("\narchived: ", "\nkept: ", "does not say which revision it is"),
    "lost": ("content: ", "lost: x, content: ", "archived.lost: 'x' is not valid here"),
    "tag": ("before: ", "before: !!python/object:os.system ", "is not supported"),
}


@pytest.mark.parametrize(("old", "new", "said"), HEADS.values(), ids=HEADS)
def test_a_damaged_head_is_reported_with_its_place(tern, monkeypatch, old, new, said):
    monkeypatch.chdir(tern.parents[1])
    copy = folder_of(tern) / "0002.yml"
    sealed(copy, old, new)
    last = copy.read_text("utf-8").count("\n")
    output = check(tern)
    found = re.search(r"tern/revisions/0002\.yml:(\d+):\d+: (.*)", output)
    assert found is not None
    assert said in found[2]
    # The head is the last line but one; what is not closed is missed after the seal.
    whole = said.startswith(("this is revision", "does not say"))
    assert int(found[1]) in ((1,) if whole else (last - 1, last, last + 1))
    assert "vandoc repair" in output


@pytest.mark.parametrize(
    "spoil",
    [
        lambda folder: (folder / os.fsdecode(b"00\xff2.yml")).write_text("a: 1\n"),
        lambda folder: (folder / "0002.yml").write_bytes(b"\xff\xfe"),
        lambda folder: (folder / "0002.yml").write_text("[" * 100_000),
        lambda folder: (folder / "0002.yml").write_text(""),
        lambda folder: (folder / "0002.yml").unlink(),
        lambda folder: (folder / "0003.yml").unlink(),
        lambda folder: ((folder / "0003.yml").unlink(), (folder / "0003.yml").mkdir()),
        lambda folder: ((folder / "0001.yml").unlink(), os.mkfifo(folder / "0001.yml")),
        lambda folder: (folder / "0999.yml").write_text("x: 1\n"),
        lambda folder: (folder / "9999999.yml").write_text("x: 1\n"),
        lambda folder: sealed(folder / "0002.yml", "Bench 1", "Bench 7"),
        lambda folder: [copy.write_text("gone") for copy in folder.iterdir()],
        lambda folder: sealed(folder / "0003.yml", "date: 2026-03-14", "date: 2026-02-30"),
    ],
)
def test_a_damaged_history_is_reported_and_repaired_from_the_readable_copies(tern, spoil):
    folder = folder_of(tern)
    before = {one.number: one for one in revisions(load(tern))}
    spoil(folder)
    left = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file() and path.suffix}
    with pytest.raises(SystemFileError) as caught:
        revisions(load(tern))
    lines = str(caught.value).splitlines()
    assert lines
    assert all(re.search(r"\.yml:\d+:\d+: ", line) and line.isprintable() for line in lines)
    assert "Traceback" not in check(tern)
    output = told("repair", tern)
    after = {one.number: one for one in revisions(load(tern))}
    for number, one in after.items():
        assert number not in before or one == before[number], "what can be read is as it was"
    lost = set(before) - set(after)
    if lost:
        newest = after[max(after)]
        assert newest.number == 4
        assert set(newest.lost) == lost
        assert newest.why == f"history repaired: revision {', '.join(map(str, lost))} could not be read"
        assert newest.mark in output
        assert "history repaired" in (folder / "0004.yml").read_text("utf-8")
    for name, content in left.items():  # nothing is deleted
        assert content in [path.read_bytes() for path in folder.rglob("*") if path.is_file()], name
    edit(tern, 9)
    assert keep(tern, "goes on", date.today()).number == max(after) + 1
    assert "Traceback" not in check(tern)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_tells_of_a_damaged_history_and_works_after_the_repair(tern, tmp_path, command):
    more = {
        "revise": ["--why", "x"],
        "build": ["--out", tmp_path / "manual", "--draft"],
        "print": ["--out", tmp_path / "paper", "--only", "labels"],
    }.get(command, [])
    folder = folder_of(tern)
    sealed(folder / "0003.yml", "date: 2026-03-14", "date: 2026-02-30")
    (folder / os.fsdecode(b"00\xff2.yml")).write_text("a: 1\n")
    before = tern.read_bytes()
    output = told(command, tern, *more)
    assert "archived.date: '2026-02-30' is not valid here" in output
    assert r"00\udcff2.yml:1:1: not a revision file" in output
    assert tern.read_bytes() == before
    told("repair", tern)
    output = told(command, tern, *more)
    assert "archived.date" not in output
    assert "not a revision file" not in output


def test_an_intact_history_is_not_repaired(tern):
    before = {path: path.read_bytes() for path in tern.parent.rglob("*") if path.is_file()}
    assert repair(tern, DAY) is None
    assert "no damage found" in told("repair", tern)
    assert {path: path.read_bytes() for path in tern.parent.rglob("*") if path.is_file()} == before


def test_a_lost_revision_that_is_restored_later_is_read_again(tern):
    copy = folder_of(tern) / "0002.yml"
    kept = copy.read_bytes()
    copy.write_text("gone")
    repair(tern, DAY)
    assert [one.number for one in revisions(load(tern))] == [1, 3, 4]
    copy.write_bytes(kept)
    assert [one.number for one in revisions(load(tern))] == [1, 2, 3, 4]
    sealed(copy, "Bench 1", "Bench 7")
    assert [one.number for one in revisions(load(tern))] == [1, 3, 4], "another copy is no longer let in"


def test_an_older_van_file_that_was_put_back_can_go_on(tern):
    older = tern.read_text("utf-8").replace("revision: 3", "revision: 2")
    tern.write_text(older, "utf-8")
    assert "van.revision: 2 is behind the archive, which has revision 3" in check(tern)
    told("repair", tern)
    assert [one.number for one in revisions(load(tern))] == [1, 2, 3, 4]
    assert load(tern).system.van.revision == 4


@pytest.fixture
def once(tmp_path: Path) -> Path:
    """A small van with its first revision."""
    van_file = tmp_path / "tern/van.yml"
    van_file.parent.mkdir()
    van_file.write_text(SMALL, "utf-8")
    keep(van_file, "handed over", DAY)
    return van_file


@pytest.mark.parametrize("folder_too", [False, True])
@pytest.mark.parametrize("van", ["once", "tern"])
def test_a_history_of_which_no_copy_is_left_is_not_taken_for_a_new_van(request, van, folder_too):
    van_file = request.getfixturevalue(van)
    number = load(van_file).system.van.revision
    for copy in folder_of(van_file).iterdir():
        copy.unlink()
    if folder_too:
        folder_of(van_file).rmdir()
    before = van_file.read_bytes()
    for command, *more in (["check"], ["size"], ["revise", "--why", "x"], ["service"]):
        output = told(command, van_file, *more)
        assert f"van.archived: revision {number} was archived, but 'revisions/000{number}.yml' is" in output
    line = next(n for n, text in enumerate(before.decode().splitlines(), 1) if "archived" in text)
    assert re.match(rf".*van\.yml:{line}:\d+: van\.archived", check(van_file))
    assert van_file.read_bytes() == before
    assert f"{number + 1}-" in told("repair", van_file)
    (repaired,) = revisions(load(van_file))
    assert (repaired.number, repaired.lost, repaired.before) == (number + 1, (number,), None)
    assert repaired.why == f"history repaired: revision {number} could not be read"
    assert "is missing" not in check(van_file)


def test_the_mark_that_a_van_was_archived_is_no_change_of_the_van(once):
    """Files of earlier versions have no such mark; the next revision enters it."""
    once.write_text(once.read_text("utf-8").replace("  archived: true\n", ""), "utf-8")
    with pytest.raises(VandocError, match="unchanged since revision 1-"):
        keep(once, "again", DAY)
    edit(once, 0)
    keep(once, "a visit", DAY)
    assert "  archived: true\n" in once.read_text("utf-8")
    shutil.rmtree(folder_of(once))
    assert "revision 2 was archived" in check(once)


def test_a_file_copied_for_another_van_goes_on_without_the_mark(once):
    shutil.rmtree(folder_of(once))
    assert "in a file copied for another van, delete 'archived'" in check(once)
    once.write_text(once.read_text("utf-8").replace("  archived: true\n", ""), "utf-8")
    assert "note: Revision 1 has no archived copy." in check(once)
    assert keep(once, "handed over", DAY).number == 1


@pytest.mark.parametrize(
    ("van", "entered"),
    [
        ("van:\n  name: Teal   # small\n", "van:\n  name: Teal   # small\n  archived: true\n"),
        ("van: {name: Teal}\n", "van: {name: Teal, archived: true}\n"),
        ("van: {revision: 7, name: Teal}\n", "van: {revision: 7, archived: true, name: Teal}\n"),
        ("van: {archived: false, name: Teal}\n", "van: {name: Teal, archived: true}\n"),
        ("van:\n    archived: true\n    name: Teal\n", "van:\n    archived: true\n    name: Teal\n"),
        (
            "van:\n  revision: 2 # two\n\n  # base\n",
            "van:\n  revision: 2 # two\n\n  # base\n  archived: true\n",
        ),
    ],
)
def test_that_a_file_was_archived_is_entered_in_its_own_layout(tmp_path, van, entered):
    path = tmp_path / "van.yml"
    path.write_text(f"{van}\nworkshop: {{name: Somebody}} # of the yard\n", "utf-8")
    changed = editing.changed(
        editing.read(path),
        lambda tree: writing.enter_number(tree["van"], 7 if "7" in van else 2 if "2" in van else 1),
    )
    assert changed.text == f"{entered}\nworkshop: {{name: Somebody}} # of the yard\n"


@pytest.mark.parametrize("edited", [False, True])
@pytest.mark.parametrize("saved", [False, True])
def test_a_first_copy_that_did_not_get_its_name_is_finished_or_taken_back(once, edited, saved):
    """The states that a kill leaves before and after the van file says that it was archived."""
    copy = folder_of(once) / "0001.yml"
    text = copy.read_bytes()
    copy.rename(copy.with_name("0001.yml.pending"))
    if not saved:
        once.write_text(once.read_text("utf-8").replace("  archived: true\n", ""), "utf-8")
    if edited:
        edit(once, 0)
    assert "is missing" not in check(once)
    assert copy.exists() == saved
    assert not list(folder_of(once).glob("*.pending"))
    aside = [path.read_bytes() for path in folder_of(once).rglob("*.pending")]
    assert aside == ([text] if edited and not saved else []), "what only the copy says is kept"
    if not edited:
        edit(once, 0)
    assert keep(once, "next", DAY).number == (2 if saved else 1)


@pytest.mark.parametrize("where", ["unlink", "after the file was saved"])
def test_a_step_that_fails_after_the_file_was_saved_keeps_the_copy(tmp_path, monkeypatch, where):
    path = tmp_path / "van.yml"
    path.write_text(SMALL, "utf-8")
    save, unlink = editing.save, Path.unlink

    def failing(draft: editing.Draft) -> editing.Draft:
        save(draft)
        raise VandocError("a disk that fails")

    def kept(one: Path, **options: bool) -> None:
        if one.name.startswith(".van.yml."):
            raise OSError(5, "Input/output error")
        unlink(one, **options)

    with monkeypatch.context() as patch:
        if where == "unlink":
            patch.setattr(Path, "unlink", kept)
            keep(path, "handed over", DAY)
        else:
            patch.setattr(editing, "save", failing)
            with pytest.raises(VandocError, match="a disk that fails"):
                keep(path, "handed over", DAY)
    assert "is missing" not in check(path)
    assert [one.number for one in revisions(load(path))] == [1]
    assert not [left.name for left in tmp_path.iterdir() if left.name.startswith(".")]


def test_a_first_copy_of_an_earlier_version_is_finished(once):
    """It never changed the van file, and its copy says nothing of having been archived."""
    plain = "  archived: true\n"
    copy = folder_of(once) / "0001.yml"
    sealed(copy, plain, "")
    copy.rename(copy.with_name("0001.yml.pending"))
    once.write_text(once.read_text("utf-8").replace(plain, ""), "utf-8")
    check(once)
    assert copy.is_file()


def test_a_repair_that_can_do_nothing_says_so(tern):
    tern.write_text("van: {", "utf-8")
    assert "not valid YAML" in told("repair", tern)


@pytest.mark.parametrize("edited", [False, True])
def test_a_copy_that_did_not_get_its_name_gets_it_although_the_file_is_edited(tern, edited):
    """The state that a kill leaves between saving the van file and naming the copy."""
    copy = folder_of(tern) / "0003.yml"
    copy.rename(copy.with_name("0003.yml.pending"))
    if edited:
        edit(tern, 5)
    check(tern)
    assert copy.is_file()
    if not edited:
        edit(tern, 5)
    assert keep(tern, "next", DAY).number == 4
    assert [one.number for one in revisions(load(tern))] == [1, 2, 3, 4]


@pytest.mark.parametrize("edited", [False, True])
def test_a_copy_whose_number_the_file_never_got_is_taken_back(tern, edited):
    """The state that a kill leaves between writing the copy and saving the van file."""
    before = tern.read_bytes()
    edit(tern, 5)
    changed = tern.read_bytes()
    keep(tern, "next", DAY)
    copy = folder_of(tern) / "0004.yml"
    text = copy.read_bytes()
    copy.rename(copy.with_name("0004.yml.pending"))
    tern.write_bytes(before if edited else changed)
    check(tern)
    assert not list(folder_of(tern).glob("*.pending"))
    aside = [path.read_bytes() for path in folder_of(tern).rglob("*.pending")]
    assert aside == ([text] if edited else []), "what only the copy says is kept"
    edit(tern, 6)
    assert keep(tern, "again", DAY).number == 4


def test_a_folder_that_takes_nothing_is_read_as_if_the_copy_had_its_name(tern, monkeypatch):
    copy = folder_of(tern) / "0003.yml"
    copy.rename(copy.with_name("0003.yml.pending"))

    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "rename", refused)
    assert [one.number for one in revisions(load(tern))] == [1, 2, 3]


def test_a_folder_of_revisions_that_cannot_be_read_is_no_empty_history(tern, monkeypatch):
    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    van_file = load(tern)
    monkeypatch.setattr(Path, "iterdir", refused)
    with pytest.raises(SystemFileError, match="the folder of revisions cannot be read: Permission denied"):
        revisions(van_file)


def test_the_last_number_is_not_passed(tern):
    text = tern.read_text("utf-8").replace("revision: 3", "revision: 999").replace("  archived: true\n", "")
    tern.write_text(text, "utf-8")
    shutil.rmtree(folder_of(tern))
    keep(tern, "the last", DAY)
    edit(tern, 5)
    before = tern.read_bytes()
    with pytest.raises(SystemFileError, match="999"):
        keep(tern, "one more", DAY)
    assert tern.read_bytes() == before
    assert "Traceback" not in check(tern)


REASONS = {
    "": "must not be empty",
    "  \n ": "must not be empty",
    "a\x07b": r"the character '\\x07' cannot be written in a file; leave it out",
    "\ud800": "cannot be written in a file",
    "x" * 301: "no more than 300 characters",
}


@pytest.mark.parametrize(("why", "said"), REASONS.items())
def test_a_reason_that_cannot_be_kept_is_named(tern, why, said):
    edit(tern, 5)
    before = tern.read_bytes()
    with pytest.raises(VandocError, match=said):
        keep(tern, why, DAY)
    assert tern.read_bytes() == before


@pytest.mark.parametrize("why", ["two\nlines\u2028and\x85more", '"quoted" # \\ {x}: é✓ 🔧', "'"])
def test_a_reason_comes_back_as_it_was_given_on_one_line(tern, why):
    edit(tern, 5)
    assert keep(tern, why, DAY).why == " ".join(why.split())


@pytest.mark.parametrize("sheets", ["part_sheets: []", "other: {}", "part_sheets: {x: 1}"])
def test_copies_without_part_sheets_are_reported(tern, sheets):
    copy = folder_of(tern) / "0001.yml"
    sealed(copy, "part_sheets: {}", sheets)
    one = archive.Revision(1, DAY, "", None, "", "1-000000", copy, copy.read_text("utf-8"))
    with pytest.raises(SystemFileError, match="part sheets of this copy are missing"):
        one.van_file()
