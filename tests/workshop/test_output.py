"""Output never replaces what a workshop file is or names; the preview follows it."""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from mkdocs.config import load_config

from tests.workshop.test_reading import LOGO
from vandoc.doors.cli import main
from vandoc.doors.output import sources_of
from vandoc.doors.output.target import refusal
from vandoc.doors.publish import own_problems

TEXT = "name: Marsh (fictitious)\nlogo: {file: brand/logo.png, alt: a mark}\npart_sheets: [sheets]\n"


@pytest.fixture
def root(wren: Path, shop) -> Path:
    path = shop(TEXT)
    (path.parent / "brand").mkdir()
    (path.parent / "sheets").mkdir()
    shutil.copy(LOGO, path.parent / "brand/logo.png")
    shutil.copy(wren.parents[1] / "parts/water-pump.yml", path.parent / "sheets/pump.yml")
    text = wren.read_text("utf-8").replace("../parts/water-pump.yml", "pump.yml")
    wren.write_text(text, "utf-8")
    return path.parent


def test_the_workshop_file_what_it_names_and_its_sheets_are_sources(root, wren):
    found = sources_of(wren)
    real = root.resolve()
    assert {real / "workshop.yml", real / "brand/logo.png", real / "sheets/pump.yml"} <= set(found.files)
    assert {real / "sheets", real / "brand"} <= {folder.resolve() for folder in found.folders}
    assert real not in {folder.resolve() for folder in found.folders}


@pytest.mark.parametrize(
    ("target", "reason"),
    [
        (".", "contains"),
        ("workshop.yml", "contains"),
        ("brand", "contains"),
        ("brand/out", "inside"),
        ("sheets", "contains"),
        ("sheets/out/wren", "inside"),
        ("site", None),
        ("vans/wren/site", None),
    ],
)
@pytest.mark.parametrize("kind", ["manual", "print"])
def test_no_output_replaces_them(root, wren, target, reason, kind):
    found = refusal(root / target, kind, sources_of(wren))
    assert (found and found.reason) == reason


def test_a_workshop_file_that_cannot_be_read_is_a_source_all_the_same(root, wren):
    (root / "workshop.yml").write_text("name: [\n", "utf-8")
    assert root.resolve() / "workshop.yml" in sources_of(wren).files
    before = (root / "workshop.yml").read_bytes()
    done = CliRunner().invoke(main, ["build", str(wren), "--out", str(root / "vans")])
    assert done.exit_code == 2
    assert (root / "workshop.yml").read_bytes() == before


def config_of(root: Path) -> object:
    (root / "docs").mkdir()
    (root / "mkdocs.yml").write_text(
        "site_name: Wren\ntheme: {name: material}\nplugins:\n  - vandoc: {system: vans/wren/van.yml}\n",
        "utf-8",
    )
    config = load_config(str(root / "mkdocs.yml"))
    plugin = config.plugins["vandoc"]
    plugin.on_startup(command="serve", dirty=False)
    return plugin, plugin.on_config(config)


def test_the_preview_watches_the_workshop_file_and_the_declared_folders(root):
    real = root.resolve()
    _, config = config_of(root)
    watched = {Path(path) for path in config.watch}
    assert {real / "workshop.yml", real / "brand/logo.png", real / "sheets", real / "vans/wren"} <= watched
    assert real not in watched


def test_own_pages_may_link_to_declared_folders_and_not_to_other_vans(root):
    plugin, config = config_of(root)
    (root / "vans/teal").mkdir()
    for folder in ("sheets", "brand", "vans/teal", "."):
        shutil.copy(LOGO, root / folder / "seen.png")
        (root / f"docs/{folder.rpartition('/')[2].replace('.', 'top')}.png").symlink_to(
            root / folder / "seen.png"
        )
    from mkdocs.structure.files import get_files

    told = own_problems(get_files(config), plugin.pages, plugin.folders)
    assert sorted(line.partition(" ")[0] for line in told) == ["docs/teal.png", "docs/top.png"]
    assert all("is a link out of the van's folder" in line for line in told)
