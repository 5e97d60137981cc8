"""Pages and pictures of a workshop in a whole build: never in place of ours, nothing private or alive."""

import shutil
from pathlib import Path

import html5lib
import pytest

from tests.conftest import ROOT
from tests.manual.test_pictures import SECRETS, photo
from vandoc.doors.publish import publish
from vandoc.ground.errors import VandocError


@pytest.fixture
def wren(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "sites", tmp_path / "sites")
    (tmp_path / "sites/wren/pages").mkdir()
    return tmp_path / "sites/wren/van.yml"


def test_a_refused_build_names_every_file_and_leaves_nothing(wren: Path, tmp_path: Path) -> None:
    pages = wren.parent / "pages"
    (pages / "assets").mkdir()
    for name in ("Index.md", "aux.md", "sw.js", "assets/vandoc.js"):
        (pages / name).write_text("# Mine\n")
    (pages / "host.md").symlink_to("/etc/hostname")
    with pytest.raises(VandocError) as raised:
        publish(wren, tmp_path / "out")
    for name in ("Index.md", "aux.md", "sw.js", "assets/vandoc.js", "host.md"):
        assert f"pages/{name} " in str(raised.value)
    assert not (tmp_path / "out/wren").exists()


def test_a_folder_of_pages_that_is_a_link_elsewhere_is_refused(wren: Path, tmp_path: Path) -> None:
    (wren.parent / "pages").rmdir()
    (tmp_path / "private").mkdir()
    (tmp_path / "private/letter.md").write_text("# Dear\n")
    (wren.parent / "pages").symlink_to(tmp_path / "private")
    with pytest.raises(VandocError, match="link out of the van's folder"):
        publish(wren, tmp_path / "out")


def test_own_pages_are_added_without_what_a_camera_or_a_stranger_put_in(wren: Path, tmp_path: Path) -> None:
    pages = wren.parent / "pages"
    (pages / "shelf.jpg").write_bytes(photo("JPEG"))
    (pages / "ferry.md").write_text(
        "---\ntitle: <b>Ferry</b>\nscripts: ['\"></script><script>alert(1)</script>']\n"
        "template: redirect.html\n---\n\n# Ferry\n\n![The shelf](shelf.jpg)\n\n<script>alert(1)</script>\n"
    )
    with pytest.raises(VandocError, match=r"ferry\.md: not allowed in a manual.*<script>"):
        publish(wren, tmp_path / "out")
    site = publish(wren, tmp_path / "out", draft=True)
    tree = html5lib.parse((site / "ferry.html").read_text("utf-8"), namespaceHTMLElements=False)
    assert [e.get("src") for e in tree.iter("script")] == [
        "assets/first.js",
        "assets/vandoc.js",
        "assets/saved.js",
    ]
    assert [e.get("src") for e in tree.iter("img")] == ["shelf.jpg"]
    made = (site / "shelf.jpg").read_bytes()
    assert not [secret for secret in SECRETS if secret in made]


def test_a_customers_folder_and_camera_are_not_published(wren: Path, tmp_path: Path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    """The same pages from another working folder, under a folder with a name that is nobody's business."""
    (wren.parent / "smith-bench.jpg").write_bytes(photo("JPEG", 3000, 2000, 6))
    text = wren.read_text("utf-8")
    place = "\n    label: under the bonnet\n"
    assert text.count(place) == 1
    wren.write_text(
        text.replace(place, f"{place}    picture: {{file: smith-bench.jpg, alt: The bonnet}}\n"), "utf-8"
    )
    shutil.copytree(tmp_path / "sites", tmp_path / "customers/Jane SMITH/sites")
    built = []
    for folder, van_file in (
        (tmp_path, wren),
        (tmp_path / "customers", Path("Jane SMITH/sites/wren/van.yml")),
    ):
        monkeypatch.chdir(folder)
        site = publish(van_file, folder / "out")
        built.append({p.relative_to(site): p.read_bytes() for p in sorted(site.rglob("*")) if p.is_file()})
    assert built[0] == built[1]
    for path, content in built[1].items():
        assert b"smith" not in content.lower(), path
        assert not [secret for secret in (b"OWNER-NAME", b"SERIAL-4711") if secret in content], path
