"""`mkdocs serve` rebuilds when the van file, a part sheet or a picture changes, and otherwise rests."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.vans.small import put_into

PICTURE = "picture: {file: seat-box.png, alt: A drawing}"
PUMP = """\
  - id: pump
    fuse: {board: board, position: 2, rating: 10 A}
    cable: {length: 3 m, area: 4 mm²}
    load: pump
    return: minus
"""


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Server:
    def __init__(self, folder: Path) -> None:
        self.port = free_port()
        self.log = folder / "serve.log"
        command = [sys.executable, "-m", "mkdocs", "serve", "-a", f"127.0.0.1:{self.port}"]
        with self.log.open("w") as stream:
            self.process = subprocess.Popen(
                command,
                cwd=folder,
                stdout=stream,
                stderr=stream,
                env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
            )

    def get(self, path: str) -> str:
        with urllib.request.urlopen(f"http://127.0.0.1:{self.port}/{path}", timeout=5) as answer:
            return str(answer.read().decode())

    def wait_for(self, path: str, text: str, seconds: float = 240) -> None:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            assert self.process.poll() is None, self.log.read_text()
            try:
                if text in self.get(path):
                    return
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                pass
            time.sleep(0.3)
        raise AssertionError(f"{text!r} never came: {self.log.read_text()[-2000:]}")

    def builds(self) -> int:
        """Builds that ended well: MkDocs leaves out a second "Documentation built" that took as long."""
        log = self.log.read_text()
        return ("Serving on" in log) + log.count("Reloading browsers")

    def rest(self, after: int) -> int:
        """Wait for a build after so many, then until none has followed for three seconds; the count."""
        end = time.monotonic() + 120
        while self.builds() <= after:
            assert time.monotonic() < end, f"no build after {after}: {self.log.read_text()[-2000:]}"
            time.sleep(0.3)
        count, since, end = self.builds(), time.monotonic(), time.monotonic() + 120
        while time.monotonic() - since < 3:
            assert time.monotonic() < end, "it builds without end"
            time.sleep(0.3)
            if self.builds() != count:
                count, since = self.builds(), time.monotonic()
        return count


def replace(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A small van with a part sheet and a picture."""
    settings = (ROOT / "mkdocs.yml").read_text("utf-8").replace("sites/curlew", "sites/dunlin")
    (tmp_path / "mkdocs.yml").write_text(settings, "utf-8")
    van_file = put_into(tmp_path / "sites")
    (van_file.parent / "pages").mkdir()
    shutil.copytree(ROOT / "sites/parts", tmp_path / "sites/parts")
    shutil.copy(ROOT / "sites/curlew/seat-box.png", van_file.parent)
    replace(van_file, "{label: under the seat, ", f"{{label: under the seat, {PICTURE}, ")
    replace(van_file, "load: light, return: minus}\n", f"load: light, return: minus}}\n{PUMP}")
    replace(van_file, "\nloads:\n", "\nloads:\n  pump: {part: ../parts/water-pump.yml, place: box}\n")
    return tmp_path


def test_serve_follows_every_file_and_does_not_loop(project):
    server = Server(project)
    try:
        van_file = project / "sites/dunlin/van.yml"
        server.wait_for("index.html", "Hollow Lane")
        first = server.rest(0)
        assert first == 1

        replace(van_file, "name: Hollow Lane Van Works", "name: Marshside Electrics")
        server.wait_for("index.html", "Marshside Electrics")
        second = server.rest(first)

        replace(project / "sites/parts/water-pump.yml", "name: water pump", "name: brine pump")
        server.wait_for("stopped.html", "brine pump")
        third = server.rest(second)

        picture = project / "sites/dunlin/seat-box.png"
        picture.write_bytes(picture.read_bytes() + b"\0")
        server.rest(third)

        # A mistake is reported, the server lives, and the next good file is built.
        good = van_file.read_text("utf-8")
        van_file.write_text(good + "\nnonsense: 1\n", "utf-8")
        end = time.monotonic() + 120
        while "nonsense" not in server.log.read_text() and time.monotonic() < end:
            time.sleep(0.3)
        assert re.search(r"sites/dunlin/van\.yml:\d+:1: nonsense", server.log.read_text())
        van_file.write_text(good.replace("Marshside", "Dykeside"), "utf-8")
        server.wait_for("index.html", "Dykeside Electrics")
    finally:
        server.process.terminate()
        server.process.wait(10)
