"""A revision keeps what it used of the workshop file, whatever becomes of that file."""

import re
from datetime import date

import pytest

from vandoc.analysis import Van
from vandoc.doors import build
from vandoc.ground.errors import SystemFileError
from vandoc.judgement.checks import run
from vandoc.judgement.history import calculated
from vandoc.reading.archive import keep, revisions
from vandoc.reading.archive.revision import seal_of
from vandoc.reading.loader import load

DAY = date(2026, 3, 14)
TEXT = '# Ours.\nphone: "+44 1632 960 999"\ntexts: {welcome: Hello.}\nlimits:\n  unprotected: 0.1 m\n'


def rules(van_file):
    return {one.rule for one in run(Van.of(van_file))}


def test_an_archived_revision_stays_as_it_was(wren, shop):
    path = shop(TEXT)
    kept = keep(wren, "handed over", DAY, calculate=calculated)
    assert "\nworkshop_file:\n  # Ours.\n  phone:" in kept.text
    before = kept.van_file().system
    assert before == load(wren).system
    path.unlink()
    again = revisions(load(wren))[0]
    assert again.text == kept.text
    assert again.van_file().system == before
    assert "fuse-too-far" in rules(again.van_file())
    assert "fuse-too-far" not in rules(load(wren))
    assert "fuse-too-far" in {one.rule for one in again.calculated().findings}


def test_a_van_without_a_workshop_file_keeps_none(wren):
    assert "workshop_file" not in keep(wren, "handed over", DAY).text


def test_a_change_of_what_is_used_is_a_change_of_the_manual(wren, shop):
    shop(TEXT)
    keep(wren, "handed over", DAY)
    assert not build.read(wren).changed
    shop(f"# More words.\n{TEXT}")
    assert not build.read(wren).changed, "comments are no change"
    shop(TEXT.replace("999", "998"))
    assert not build.read(wren).changed, "the van file states its own telephone number"
    shop(TEXT.replace("Hello", "Hallo"))
    assert build.read(wren).changed
    shop(f"{TEXT}bases: [ISO 13297]\n")
    assert build.read(wren).changed


def test_the_page_of_changes_tells_a_new_limit_of_the_workshop(wren, shop):
    shop(TEXT)
    keep(wren, "handed over", DAY, calculate=calculated)
    shop(TEXT.replace("0.1 m", "0.05 m"))
    keep(wren, "stricter", DAY, calculate=calculated)
    page = str(build.write_manual(build.read(wren)).files["electrician/changes.md"])
    assert re.search(r"\| Workshop \| limits unprotected \| 0.1 m \| 0.05 m \|", page, re.IGNORECASE)


def test_an_edit_of_the_kept_workshop_file_breaks_the_seal(wren, shop):
    shop(TEXT)
    kept = keep(wren, "handed over", DAY)
    kept.path.write_text(kept.text.replace("unprotected: 0.1 m", "unprotected: 0.15 m"), "utf-8")
    with pytest.raises(SystemFileError, match="revision 1 was changed after it was archived"):
        build.read(wren)


@pytest.mark.parametrize(
    "block", ["workshop_file: 3", "workshop_file: {phone: 7}", "workshop_file: {format: 9}"]
)
def test_a_kept_workshop_file_that_cannot_be_read_is_told_with_its_place(wren, shop, block):
    shop(TEXT)
    kept = keep(wren, "handed over", DAY)
    text = re.sub(r"\nworkshop_file:\n(  .*\n)+", f"\n{block}\n", kept.text)
    body = text[: text.rindex("# seal: ")]
    kept.path.write_text(f"{body}# seal: {seal_of(body)}\n", "utf-8")
    with pytest.raises(SystemFileError, match=r"0001\.yml:\d+:\d+: "):
        revisions(load(wren))[0].van_file()
    build.write_manual(build.read(wren))
