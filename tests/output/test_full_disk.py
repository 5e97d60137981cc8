"""`new` and `survey` on a full disk leave nothing that blocks the next try."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.output.vans import everything
from vandoc.doors.output import create_files
from vandoc.ground.errors import VandocError
from vandoc.reading.loader import load

TIGHT = (
    "import resource, signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN);"
    "resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv.pop(1)),) * 2);"
    "from vandoc.doors.cli import main; main()"
)


def vandoc(*words: str, most: int) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", TIGHT, str(most), *words]
    return subprocess.run(command, capture_output=True, text=True)


@pytest.mark.parametrize("most", [0, 1000, 30_000])  # nothing, a part of the van file, not the schema
def test_new_writes_both_files_or_none(tmp_path, most):
    made = vandoc("new", str(tmp_path / "deep/teal"), "--no-input", most=most)
    assert made.returncode == 2
    assert "cannot be written: File too large" in made.stderr
    assert everything(tmp_path) == {}
    made = vandoc("new", str(tmp_path / "deep/teal"), "--no-input", most=1_000_000)
    assert made.returncode == 0, made.stderr
    assert load(tmp_path / "deep/teal/van.yml").system.van.name
    assert {path.name for path in (tmp_path / "deep/teal").iterdir()} == {"van.yml", "van.schema.json"}


def test_new_on_a_full_disk_leaves_nothing(tmp_path):
    """A real one, where it can be mounted."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)]
    if subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("this machine mounts no tmpfs")
    try:
        (disk / "photo.jpg").write_bytes(b"x" * 20_000)
        made = vandoc("new", str(disk / "teal"), "--no-input", most=1_000_000)
        assert made.returncode == 2, made.stderr
        assert "cannot be written: No space left on device" in made.stderr
        assert list(everything(disk)) == ["photo.jpg"]
        subprocess.run(["mount", "-o", "remount,size=1m", str(disk)], check=True)
        made = vandoc("new", str(disk / "teal"), "--no-input", most=1_000_000)
        assert made.returncode == 0, made.stderr
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_files_made_meanwhile_by_another_are_not_replaced(tmp_path, monkeypatch):
    real = os.link

    def taken(fresh: Path, path: Path) -> None:
        if path.name == "b":
            path.write_text("another's")
        real(fresh, path)

    monkeypatch.setattr(os, "link", taken)
    with pytest.raises(VandocError, match="b: already exists and was not overwritten"):
        create_files(tmp_path / "new", {"a": b"1", "b": b"2"})
    assert everything(tmp_path / "new") == {"b": b"another's"}


def test_a_disk_without_links_gets_the_files_all_the_same(tmp_path, monkeypatch):
    def none(*_: object) -> None:
        raise OSError(95, os.strerror(95))

    monkeypatch.setattr(os, "link", none)
    create_files(tmp_path, {"a": b"1"})
    assert everything(tmp_path) == {"a": b"1"}
