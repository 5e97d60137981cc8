"""Changes to a van file: the rest stays as it was written, and nothing is ever half written."""

import errno
import os
import stat
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.conftest import DEMO_VANS
from vandoc.ground import disk
from vandoc.ground.errors import VandocError
from vandoc.reading import editing
from vandoc.reading.yamltree import parse

ODD = """\
# top
van:
    name:   "x"   # kept
    revision: 1

workshop: {name:  Me,  phone: "12" }
use: {nights: 010, at: 12:30, on: on, months: [1,2]}
services:
- {date: 2020-01-01, by: Me}
-   date: 2021-01-01
    by: You

# before what follows
mains:
    note: 'it''s'
"""


def draft_of(text: str, path: Path = Path("van.yml")) -> editing.Draft:
    return editing.Draft(path, text.encode(), text)


def service(**more):
    def change(tree):
        editing.section(tree, "services").append(editing.block(date="2026-05-01", by="Me", **more))

    return change


@pytest.mark.parametrize("path", DEMO_VANS, ids=lambda path: path.parent.name)
def test_a_demonstration_van_is_written_back_byte_for_byte(path):
    draft = editing.read(path)
    assert editing.changed(draft, lambda _: None).text == draft.text


@pytest.mark.parametrize("text", [ODD, *(path.read_text("utf-8") for path in DEMO_VANS)])
def test_an_addition_adds_lines_and_changes_none(text):
    after = editing.changed(draft_of(text), service()).text
    old, new = text.splitlines(), after.splitlines()
    left = iter(new)
    assert all(line in left for line in old), "every old line is there, in its order"
    assert len(new) - len(old) <= 3
    added = parse(after, "x").plain()["services"][-1]
    assert added == {"date": "2026-05-01", "by": "Me"}


def test_a_new_entry_comes_before_the_comment_of_the_next_section():
    after = editing.changed(draft_of(ODD), service()).text
    assert after.index("2026-05-01") < after.index("# before what follows")


def test_one_value_is_changed_in_its_place():
    after = editing.changed(draft_of(ODD), lambda tree: tree["van"].update(revision="2")).text
    assert after == ODD.replace("revision: 1", "revision: 2")


HARD = [
    "12",
    "true",
    "",
    "a: b",
    "# no",
    "- x",
    "'",
    '"',
    "{x}",
    "x\ny",
    "é✓",
    "\\",
    "null",
    "1.5",
    "@a",
    "%b",
]


@given(st.sampled_from(HARD) | st.text(st.characters(exclude_categories=["C", "Z"]), max_size=40))
@settings(max_examples=40, deadline=None)
def test_any_text_is_read_as_it_was_entered(text):
    after = editing.changed(draft_of(ODD), service(notes=text)).text
    assert parse(after, "x").plain()["services"][-1]["notes"] == text


def test_line_ends_byte_order_mark_and_mode_stay(tmp_path):
    path = tmp_path / "van.yml"
    path.write_bytes(b"\xef\xbb\xbf" + ODD.replace("\n", "\r\n").encode())
    path.chmod(0o640)
    editing.save(editing.changed(editing.read(path), service()))
    raw = path.read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf")
    assert raw.count(b"\n") == raw.count(b"\r\n") == ODD.count("\n") + 2
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [file.name for file in tmp_path.iterdir()] == ["van.yml"]


def test_a_link_stays_a_link(tmp_path):
    (tmp_path / "real.yml").write_text(ODD)
    (tmp_path / "van.yml").symlink_to(tmp_path / "real.yml")
    editing.save(editing.changed(editing.read(tmp_path / "van.yml"), service()))
    assert (tmp_path / "van.yml").is_symlink()
    assert "2026-05-01" in (tmp_path / "real.yml").read_text()


def test_changes_by_another_program_are_never_overwritten(tmp_path):
    path = tmp_path / "van.yml"
    path.write_text(ODD)
    draft = editing.changed(editing.read(path), service())
    path.write_text(f"{ODD}# mine\n")
    with pytest.raises(editing.ChangedMeanwhileError, match="nothing was written"):
        editing.save(draft)
    assert path.read_text() == f"{ODD}# mine\n"
    path.unlink()
    with pytest.raises(editing.ChangedMeanwhileError):
        editing.save(draft)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("failing", ["fsync", "replace", "write"])
def test_a_full_disk_leaves_the_file_and_no_litter(tmp_path, monkeypatch, failing):
    path = tmp_path / "van.yml"
    path.write_text(ODD)
    draft = editing.changed(editing.read(path), service())

    def full(*_args, **_named):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    if failing == "replace":
        monkeypatch.setattr(editing, "exchanged", lambda *_: False)
        monkeypatch.setattr(Path, "replace", full)
    elif failing == "fsync":
        monkeypatch.setattr(os, "fsync", full)
    else:
        monkeypatch.setattr(disk.tempfile, "mkstemp", full)
    with pytest.raises(VandocError, match=r"No space left on device; the file is unchanged"):
        editing.save(draft)
    monkeypatch.undo()
    assert path.read_text() == ODD
    assert [file.name for file in tmp_path.iterdir()] == ["van.yml"]
