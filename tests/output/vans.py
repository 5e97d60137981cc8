"""A small van that has everything output must not touch, and the same as a snapshot."""

import shutil
from datetime import date
from pathlib import Path

from tests.conftest import ROOT
from vandoc.reading.archive import keep

SMALL = """\
van:
  name: Tern
  nominal: 12 V
  size: {length: 5 m, width: 2 m, driver: left}
workshop: {name: Somebody}
places:
  box: {label: under the seat, at: {back: 1 m, across: 1 m}, picture: {file: pictures/box.png, alt: a box}}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 90 Ah}
  board: {part: ../parts/board.yml, name: fuses, place: box}
loads:
  lamp: {name: lamp, place: box, power: 10 W}
cables:
  - {from: house.+, to: board.in, length: 1 m, area: 4 mm²}
circuits:
  - id: lamp
    fuse: {board: board, position: 1}
    cable: {length: 2 m}
    load: lamp
    return: house.-
"""
CONFIG = """\
site_name: Tern
docs_dir: docs
site_dir: {site}
theme:
  name: material
plugins:
  - vandoc:
      system: tern/van.yml
"""


def make(folder: Path) -> Path:
    """Make a van with a part sheet, a picture, a page and a revision; return its file."""
    van_file = folder / "tern/van.yml"
    for name in ("tern/pages", "tern/pictures", "parts", "docs"):
        (folder / name).mkdir(parents=True)
    (folder / "parts/board.yml").write_text("kind: fuse-board\nfamily: C\nrows: 1\ncolumns: 4\n", "utf-8")
    shutil.copy(ROOT / "sites/curlew/seat-box.png", folder / "tern/pictures/box.png")
    (folder / "tern/pages/ferry.md").write_text("# On a ferry\n", "utf-8")
    van_file.write_text(SMALL, "utf-8")
    keep(van_file, "handed over", date(2026, 3, 1))
    return van_file


def everything(folder: Path) -> dict[str, bytes | str]:
    """All that is in a folder: content of files, targets of links, and the folders."""
    found: dict[str, bytes | str] = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_symlink():
            found[name] = f"-> {path.readlink()}"
        else:
            found[name] = path.read_bytes() if path.is_file() else "folder"
    return found
