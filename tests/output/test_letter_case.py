"""The same folder by another name: letter case, on a disk where it does not count, and a full disk.

A disk without regard to letter case is mounted where the machine lets us (an NTFS image read by ntfs-3g).
Where it does not, that part is skipped, and the rest is asked of the function that compares places.
"""

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.output.vans import everything, make
from vandoc.doors.cli import main
from vandoc.doors.output.places import lineage, within


@pytest.fixture
def blind(tmp_path: Path) -> Iterator[Path]:
    """A folder on a disk on which `A` and `a` are one name."""
    tools = [shutil.which(name) for name in ("mkntfs", "lowntfs-3g")]
    if None in tools:
        if os.environ.get("CI") == "true":
            pytest.fail("ntfs-3g is not installed, and CI must try a disk without regard to letter case")
        pytest.skip("ntfs-3g is not installed")
    image, folder = tmp_path / "image", tmp_path / "mounted"
    image.write_bytes(b"")
    os.truncate(image, 16_000_000)
    folder.mkdir()
    subprocess.run([str(tools[0]), "-F", "-Q", "-q", str(image)], capture_output=True, check=True)
    mount = [str(tools[1]), "-o", "ignore_case", str(image), str(folder)]
    mounted = subprocess.run(mount, capture_output=True, text=True)
    if mounted.returncode:
        pytest.skip(f"this machine mounts no image: {mounted.stderr.strip()[-200:]}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def test_letter_case_hides_no_source(blind, monkeypatch):
    make(blind)
    assert (blind / "TERN/Van.yml").is_file(), "the disk tells letter case apart"
    monkeypatch.chdir(blind)
    monkeypatch.setattr("vandoc.paper.survey.survey", lambda: b"%PDF-1.7")
    before = everything(blind)
    for words in (
        ["build", "tern/van.yml", "--out", ".", "--draft"],
        ["build", "TERN/van.yml", "--out", ".", "--draft"],
        ["build", "tern/van.yml", "--out", "Tern/PAGES", "--draft"],
        ["build", "tern/van.yml", "--out", "PARTS/new", "--draft"],
        ["print", "TERN/van.yml", "--out", ".", "--draft", "--only", "lists"],
        ["print", "tern/van.yml", "--out", "TERN/Revisions", "--draft", "--only", "lists"],
        ["new", "TERN", "--no-input"],
        ["new", "Tern/Pages/teal", "--no-input"],
        ["survey", "TERN/VAN.yml"],
        ["survey", "TERN/PICTURES/survey.pdf"],
    ):
        result = CliRunner().invoke(main, words)
        assert result.exit_code == 2, (words, result.output)
        assert everything(blind) == before, words
    result = CliRunner().invoke(main, ["print", "tern/van.yml", "--out", "out", "--draft", "--only", "lists"])
    assert result.exit_code == 0, result.output


def test_places_are_compared_as_such_a_disk_does(blind):
    (blind / "Vans/pages").mkdir(parents=True)
    assert within(blind / "vans/PAGES/new", blind / "VANS/pages")
    assert lineage(blind / "vANS") == lineage(blind / "Vans")


def test_names_that_are_not_there_yet_are_compared_without_case(tmp_path):
    """Where nothing is there, no disk can be asked; two names that some disk takes for one are one."""
    assert within(tmp_path / "PAGES/x", tmp_path / "pages")
    assert within(tmp_path / "cafe\u0301", tmp_path / "caf\u00e9")
    assert not within(tmp_path / "pages2", tmp_path / "pages")
    assert not within(tmp_path / "pages", tmp_path / "pages/x")


def test_names_that_are_there_are_what_the_disk_says(tmp_path):
    (tmp_path / "a").mkdir()
    (tmp_path / "A").mkdir(exist_ok=True)
    one = (tmp_path / "a").samefile(tmp_path / "A")
    assert within(tmp_path / "a", tmp_path / "A") == one
    (tmp_path / "link").symlink_to("a")
    assert within(tmp_path / "link/new", tmp_path / "a")
    (tmp_path / "loop").symlink_to("loop")
    assert not within(tmp_path / "loop", tmp_path / "a")
