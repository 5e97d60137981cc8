"""Several at once: two commands, a command and an editor. One wins, the other is told, nothing is lost."""

import os
import random
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.interruption.recording import said, sound, van
from vandoc.ground import disk
from vandoc.ground.errors import VandocError
from vandoc.reading import editing
from vandoc.reading.archive import keep, revisions
from vandoc.reading.loader import load

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
SEED = 20260314


def at_once(*works: Callable[[], str]) -> list[str]:
    """Do each in a child of its own, begun together; return what each said, or its error."""
    pipes = []
    start = time.monotonic() + 0.1
    for work in works:
        reading, writing = os.pipe()
        if os.fork() == 0:
            try:
                time.sleep(max(0.0, start - time.monotonic()))
                try:
                    text = work()
                except VandocError as error:
                    text = f"told: {error}"
                except BaseException as error:
                    text = f"Traceback {type(error).__name__}: {error}"
                os.write(writing, text.encode()[-4000:])
            finally:
                os._exit(0)
        os.close(writing)
        pipes.append(reading)
    said_by = []
    for reading in pipes:
        with os.fdopen(reading, "rb") as stream:
            said_by.append(stream.read().decode())
    for _ in works:
        os.wait()
    return said_by


def edit(path: Path) -> None:
    """Change what the file says, whole or not at all."""
    text = path.read_text("utf-8")
    old, new = ("length: 2 m", "length: 3 m") if "length: 2 m" in text else ("length: 3 m", "length: 2 m")
    editing.replace_file(path, text.replace(old, new).encode())


def test_two_who_archive_at_once_make_one_revision_and_one_is_told(tmp_path):
    path = van(tmp_path)

    def revise(why: str) -> str:
        return f"made {keep(path, why, date(2026, 3, 14)).number}"

    for number in range(2, 6):
        texts = at_once(lambda: revise("hers"), lambda: revise("his"))
        assert sorted(text[:4] for text in texts) == ["made", "told"], texts
        assert f"made {number}" in texts
        assert any("there is nothing to archive" in text or "run the command again" in text for text in texts)
        sound(path)
        edit(path)


def test_readers_and_a_writer_at_once_never_see_half_a_revision(tmp_path):
    path = van(tmp_path)

    def read() -> str:
        for _ in range(20):
            revisions(load(path))
        return "read"

    def write() -> str:
        for number in range(5):
            keep(path, f"step {number}", date(2026, 3, 14))
            edit(path)
        return "written"

    texts = at_once(read, read, write)
    told = [text for text in texts if text not in ("read", "written")]
    assert all("changed by another command" in text for text in told), told
    assert "written" in texts
    sound(path)


@pytest.mark.parametrize("in_place", [False, True], ids=["another file", "in place"])
def test_an_editor_that_knows_no_lock_never_loses_what_it_saved(tmp_path, in_place):
    """We save all the time, each time over what was read; the editor saves now and then over anything."""
    path = tmp_path / "van.yml"
    path.write_text("van: x # hers 0\n")
    if not disk.exchanged(path, path):
        pytest.skip("this system cannot exchange two names")
    child = os.fork()
    if child == 0:
        number = 0
        while True:
            try:
                draft = editing.read(path)
                number += 1
                text = f"{draft.text.splitlines()[0]}\nours: {number}\n"
                editing.save(editing.Draft(draft.path, draft.raw, text))
            except (VandocError, OSError, IndexError):
                continue
    try:
        moments, between = random.Random(SEED), 0
        for number in range(1, 2000):
            hers = f"van: x # hers {number}\n"
            if in_place:
                path.write_text(hers)
            else:
                path.with_name("editor").write_text(hers)
                path.with_name("editor").replace(path)
            until = time.monotonic() + 5
            while f"# hers {number}\n" not in path.read_text() and time.monotonic() < until:
                pass  # what is put back is away for a moment
            time.sleep(moments.uniform(0, 0.004))
            now = path.read_text()
            between += "ours:" in now
            while f"# hers {number}\n" not in path.read_text():
                assert time.monotonic() < until, f"lost: {hers}{path.read_text()}"
            if number >= 199 and between > 20:
                break  # a busy machine takes more of them until we saved often enough
    finally:
        os.kill(child, 9)
        os.waitpid(child, 0)
    assert between > 20, "we saved as well"


def test_text_and_what_is_compared_before_saving_come_from_one_look(tmp_path, monkeypatch):
    """An editor that saves right after any look at the file is seen when it is saved."""
    path = tmp_path / "van.yml"
    path.write_text("van: x\n")
    real = Path.read_bytes

    def then_hers(self: Path) -> bytes:
        raw = real(self)
        path.write_text("van: hers\n")
        return raw

    with monkeypatch.context() as patched:
        patched.setattr(Path, "read_bytes", then_hers)
        draft = editing.read(path)
    assert draft.raw.decode() == draft.text == "van: x\n"
    with pytest.raises(editing.ChangedMeanwhileError):
        editing.save(editing.Draft(draft.path, draft.raw, "van: ours\n"))
    assert path.read_text() == "van: hers\n"


def test_what_an_editor_saves_between_the_look_and_the_exchange_is_put_back(tmp_path, monkeypatch):
    """The editor saves at the very moment in which no look can see it."""
    path = tmp_path / "van.yml"
    path.write_text("van: x\n")
    draft = editing.read(path)
    real, saved = editing.exchanged, []

    def late(one: Path, other: Path) -> bool:
        if not saved:
            saved.append("hers")
            fresh = path.with_name("editor")
            fresh.write_text("van: hers\n")
            fresh.replace(path)
        return real(one, other)

    monkeypatch.setattr(editing, "exchanged", late)
    if not disk.exchanged(tmp_path / "van.yml", tmp_path / "van.yml"):
        pytest.skip("this system cannot exchange two names")
    with pytest.raises(editing.ChangedMeanwhileError, match="nothing was written"):
        editing.save(editing.Draft(draft.path, draft.raw, "van: ours\n"))
    assert path.read_text() == "van: hers\n"
    assert [file.name for file in tmp_path.iterdir()] == ["van.yml"]


def test_a_command_waits_for_another_and_says_so_when_it_waits_in_vain(tmp_path, monkeypatch):
    path = van(tmp_path)
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            with disk.locked(path.parent):
                os.write(writing, b"held")
                time.sleep(30)
        finally:
            os._exit(0)
    assert os.read(reading, 4) == b"held"
    monkeypatch.setattr(disk, "PATIENCE_S", 0.05)
    try:
        before = path.read_bytes()
        text = said("check", path)
        assert text.startswith(("0", "1")), "reading needs no lock"
        with pytest.raises(VandocError, match="another vandoc command is writing here"):
            keep(path, "meanwhile", date(2026, 3, 14))
        assert path.read_bytes() == before
    finally:
        os.kill(child, 9)
        os.waitpid(child, 0)
    assert keep(path, "after it", date(2026, 3, 14)).number == 2, "the lock ends with its process"
