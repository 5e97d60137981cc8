"""Archived copies: sealed, complete, in one chain with the van file, and loud when they are not."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from tests.conftest import ROOT
from vandoc.doors import build
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.judgement.remedy import findings
from vandoc.reading import archive
from vandoc.reading.archive import content_of, folder_of, keep, revisions
from vandoc.reading.loader import load

DAY = date(2026, 3, 14)


@pytest.fixture
def wren(tmp_path: Path) -> Path:
    """The small demonstration van with its part sheets, and nothing archived."""
    shutil.copytree(ROOT / "sites/wren", tmp_path / "wren")
    shutil.copytree(ROOT / "sites/parts", tmp_path / "parts")
    shutil.rmtree(tmp_path / "wren/revisions", ignore_errors=True)
    return tmp_path / "wren/van.yml"


@pytest.fixture
def thrice(wren: Path) -> Path:
    """The same with three revisions."""
    for number in range(3):
        if number:
            change(wren, f"capacity: {109 + number} Ah", f"capacity: {110 + number} Ah")
        keep(wren, f"step {number}", DAY)
    return wren


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert text.count(old) == 1, old
    path.write_text(text.replace(old, new), "utf-8")


def rules_of(path: Path) -> set[str]:
    return {finding.rule for finding in findings(build.read(path))}


def test_the_first_copy_takes_the_number_of_the_file_which_then_says_that_it_was_archived(wren):
    before = wren.read_text("utf-8")
    assert revisions(load(wren)) == ()
    assert "revision-not-archived" in rules_of(wren)
    kept = keep(wren, 'Handed over: "all well" # ✓', DAY)
    assert (kept.number, kept.why, kept.date, kept.before) == (1, 'Handed over: "all well" # ✓', DAY, None)
    after = wren.read_text("utf-8")
    assert after == before.replace("  revision: 1\n", "  revision: 1\n  archived: true\n")
    assert kept.text.startswith(after)
    assert not {"revision-not-archived", "revision-changed"} & rules_of(wren)


def test_the_next_copy_takes_the_next_number_and_follows_the_one_before(wren):
    first = keep(wren, "handed over", DAY)
    change(wren, "nights: 1", "nights: 2")
    assert "revision-changed" in rules_of(wren)
    before = wren.read_text("utf-8")
    second = keep(wren, "two nights", date(2026, 5, 1))
    assert (second.number, second.before) == (2, first.mark)
    assert wren.read_text("utf-8") == before.replace("revision: 1", "revision: 2")
    assert "revision-changed" not in rules_of(wren)
    assert [one.mark for one in revisions(load(wren))] == [first.mark, second.mark]


def test_a_copy_needs_no_other_file(wren):
    keep(wren, "handed over", DAY)
    now = load(wren)
    shutil.rmtree(wren.parents[1] / "parts")
    text = (folder_of(wren) / "0001.yml").read_text("utf-8")
    assert "Fictitious part sheet" in text
    kept = archive.Revision(1, DAY, "", None, "", "1-000000", folder_of(wren) / "0001.yml", text)
    assert kept.van_file().system == now.system


def test_comments_and_layout_make_no_revision_and_part_sheets_and_pages_do(wren):
    keep(wren, "handed over", DAY)
    wren.write_text(f"{wren.read_text('utf-8')}\n# a thought\n", "utf-8")
    with pytest.raises(VandocError, match="unchanged since revision 1-"):
        keep(wren, "again", DAY)
    before = content_of(load(wren))
    (wren.parent / "pages").mkdir(exist_ok=True)
    (wren.parent / "pages/ferry.md").write_text("# On a ferry\n")
    with_page = content_of(load(wren))
    sheet = next(file for file in load(wren).files if file.parent.name == "parts")
    sheet.write_text(f"{sheet.read_text('utf-8')}notes: Changed.\n", "utf-8")
    assert len({before, with_page, content_of(load(wren))}) == 3
    assert keep(wren, "another sheet", DAY).number == 2


def wrong(path: Path) -> str:
    with pytest.raises(SystemFileError) as caught:
        build.read(path, path.parents[1])
    return str(caught.value)


def test_an_edited_copy_is_reported(thrice):
    copy = folder_of(thrice) / "0002.yml"
    change(copy, "capacity: 111 Ah", "capacity: 119 Ah")
    assert wrong(thrice).startswith(
        "wren/revisions/0002.yml:1:1: revision 2 was changed after it was archived"
    )


def test_a_copy_edited_and_sealed_again_no_longer_fits_the_next(thrice):
    copy = folder_of(thrice) / "0002.yml"
    text = copy.read_text("utf-8").replace("capacity: 111 Ah", "capacity: 119 Ah")
    body = text[: text.rindex("# seal: ")]
    copy.write_text(f"{body}# seal: {archive.revision.seal_of(body)}\n", "utf-8")
    assert "0003.yml:1:1: revision 3 was archived after 2-" in wrong(thrice)


@pytest.mark.parametrize("number", [2, 3])
def test_a_missing_copy_is_reported(thrice, number):
    (folder_of(thrice) / f"000{number}.yml").unlink()
    assert wrong(thrice) == (
        f"wren/revisions/000{number}.yml:1:1: revision {number} is missing; restore it from a backup, "
        "or run 'vandoc repair', which keeps every revision that can be read"
    )


def test_the_oldest_copies_may_be_thrown_away(thrice):
    (folder_of(thrice) / "0001.yml").unlink()
    assert [one.number for one in revisions(load(thrice))] == [2, 3]


def test_an_older_van_file_put_back_is_reported(thrice):
    change(thrice, "revision: 3", "revision: 2")
    assert "van.revision: 2 is behind the archive, which has revision 3" in wrong(thrice)


def test_a_copy_of_another_name_or_no_copy_at_all_is_reported(thrice):
    (folder_of(thrice) / "old.yml").write_text("a: 1\n")
    (folder_of(thrice) / "0003.yml").write_text("")
    said = wrong(thrice)
    assert "old.yml:1:1: not a revision file" in said
    assert "0003.yml:1:1: revision 3 was changed after it was archived" in said


def test_a_failed_archiving_changes_no_file(wren):
    wren.write_text(f"---\n{wren.read_text('utf-8')}...\n", "utf-8")
    before = wren.read_bytes()
    with pytest.raises(VandocError, match="cannot be archived"):
        keep(wren, "handed over", DAY)
    assert wren.read_bytes() == before
    assert not any(folder_of(wren).glob("*.yml"))


def test_an_earlier_day_is_refused(thrice):
    change(thrice, "nights: 1", "nights: 3")
    with pytest.raises(VandocError, match="2026-01-01 is before revision 3-"):
        keep(thrice, "back in time", date(2026, 1, 1))


def test_a_copy_from_before_a_key_was_renamed_is_shown_without_being_compared(wren):
    keep(wren, "handed over", DAY)
    copy = folder_of(wren) / "0001.yml"
    text = copy.read_text("utf-8").replace("  nights: 1\n", "  evenings: 1\n")
    body = text[: text.rindex("# seal: ")]
    copy.write_text(f"{body}# seal: {archive.revision.seal_of(body)}\n", "utf-8")
    change(wren, "nights: 1", "nights: 2")
    pages = build.write_manual(build.read(wren))
    assert "can no longer read" in str(pages.files["electrician/changes.md"])


def test_a_workshops_words_on_a_revision_are_text_on_its_page(wren):
    why = "<script>alert(1)</script> **bold** {{ 7 * 7 }} [a](b) `c`"
    keep(wren, why, DAY)
    page = str(build.write_manual(build.read(wren)).files["electrician/changes.md"])
    assert "<script" not in page
    assert "**bold**" not in page
    assert "[a](b)" not in page
    assert "&#60;script&#62;" in page
