"""The same van built again after a small change: only what truly changed is another, byte for byte."""

import errno
import os
import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.site.test_publish import snapshot
from vandoc.doors.publish import publish
from vandoc.ground.errors import VandocError
from vandoc.reading.archive import keep

WITHOUT_FOOTER = ("card.html", "unsaved.html")
NOTE = b'<p class="revision-note"'
MAIN = re.compile(rb"<main.*?</main>", re.DOTALL)
OLD, NEW = (f"fuse: {{board: seat-board, position: 1, rating: {amps} A}}" for amps in (15, 10))
OF_THE_WHOLE = {"sw.js", "search/search_index.js", "search/search_index.json"}  # say what all pages hold


@pytest.fixture(scope="module")
def built(manuals: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, bytes]]:
    """The largest demonstration van, and its manual, which is the same wherever it is built."""
    folder = tmp_path_factory.mktemp("again")
    shutil.copytree(ROOT / "sites", folder / "sites")
    van_file = folder / "sites/curlew/van.yml"
    shutil.copytree(manuals / "curlew", folder / "out/curlew")
    return van_file, snapshot(folder / "out/curlew")


@pytest.fixture(scope="module")
def after_one_fuse(built: tuple[Path, dict[str, bytes]]) -> dict[str, bytes]:
    van_file, _ = built
    text = van_file.read_text("utf-8")
    assert text.count(OLD) == 1
    van_file.write_text(text.replace(OLD, NEW), "utf-8")
    return snapshot(publish(van_file, van_file.parents[2] / "out"))


def differing(one: dict[str, bytes], other: dict[str, bytes]) -> set[str]:
    return {path for path in one.keys() | other.keys() if one.get(path) != other.get(path)}


def test_only_the_pages_that_truly_changed_differ(built, after_one_fuse):
    before = built[1]
    assert before.keys() == after_one_fuse.keys()
    changed = differing(before, after_one_fuse)
    assert {"fuse/seat-board.1.html", "electrician/circuits.html", "electrician/changes.html"} <= changed
    for path in sorted(changed - OF_THE_WHOLE):
        assert (
            b"10\xc2\xa0A" in after_one_fuse[path]
            or path.endswith((".svg", ".png", ".csv"))
            or (MAIN.search(before[path])[0] != MAIN.search(after_one_fuse[path])[0])
        ), path
    for path in ("battery.html", "lights.html", "safe.html", "emergency.html", "tonight.html"):
        assert path not in changed
    # An older code that opens the start page is told what changed since; nothing else on it differs.
    assert without_note(before["index.html"]) == without_note(after_one_fuse["index.html"])
    assert not any(path.startswith("fuse/galley-board") for path in changed)
    pieces = {path for path in changed if path.startswith("electrician/piece/")}
    assert pieces == {"electrician/piece/seat-board.html"}


def without_note(page: bytes) -> bytes:
    """A page without what it tells an older code of the changes since; only some pages tell it."""
    if NOTE not in page:
        return page
    start = page.index(NOTE)
    return page[:start] + page[page.index(b"</p>", start) :]


def footer(page: bytes) -> bytes:
    return re.search(rb'<footer class="imprint">.*?</footer>', page, re.DOTALL)[0]


def test_pages_carry_the_archived_revision_and_the_change_is_reported(built, after_one_fuse):
    before = built[1]
    mark = re.search(rb"Revision (4-[0-9a-f]{6})", footer(before["index.html"]))[1]
    for path, page in after_one_fuse.items():
        if path.endswith(".html") and path not in WITHOUT_FOOTER:
            assert b"Revision " + mark in footer(page), path
    assert b"not archived" in after_one_fuse["electrician/changes.html"]
    assert b"15 A" in after_one_fuse["electrician/changes.html"]
    assert b"fuse 1 of the under-seat fuse box" in after_one_fuse["electrician/changes.html"]
    assert mark in after_one_fuse["card.html"]


def test_archiving_it_changes_the_mark_on_every_page_and_little_else(built, after_one_fuse):
    van_file, _ = built
    kept = keep(van_file, "A smaller fuse for the heater", date(2025, 6, 3))
    assert kept.mark.startswith("5-")
    again = snapshot(publish(van_file, van_file.parents[2] / "out"))
    told = {f"electrician/{name}.html" for name in ("changes", "handover", "findings", "rules")}
    for path, page in again.items():
        if path.endswith(".html") and path not in WITHOUT_FOOTER:
            assert f"Revision {kept.mark}".encode() in footer(page), path
    for path in differing(after_one_fuse, again) - told - OF_THE_WHOLE:
        if path.endswith(".html"):
            old = re.sub(rb"[45]-[0-9a-f]{6}", b"", without_note(after_one_fuse[path]))
            new = re.sub(rb"[45]-[0-9a-f]{6}", b"", without_note(again[path]))
            assert path in ("card.html", "code.html", "electrician/index.html") or old == new, path
    changes = again["electrician/changes.html"].decode()
    assert "A smaller fuse for the heater" in changes
    assert "not archived" not in changes
    assert changes.index(kept.mark) < changes.index("Handed over")


def test_an_output_that_may_not_be_written_is_told(built, tmp_path, monkeypatch):
    def refuse(*_arguments, **_named):
        raise OSError(errno.EROFS, os.strerror(errno.EROFS), str(tmp_path / "out"))

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(VandocError, match=r"out: cannot be written: Read-only file system"):
        publish(built[0], tmp_path / "out")
