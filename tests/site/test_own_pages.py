"""Pages and pictures of a workshop in a whole build: never in place of ours, nothing private or alive."""

import shutil
from pathlib import Path

import html5lib
import pytest

from tests.manual.test_pictures import SECRETS, photo
from tests.vans.small import put_into
from vandoc.doors.publish import publish
from vandoc.ground.errors import VandocError


@pytest.fixture
def dunlin(tmp_path: Path) -> Path:
    van_file = put_into(tmp_path / "sites")
    (van_file.parent / "pages").mkdir()
    return van_file


def test_a_refused_build_names_every_file_and_leaves_nothing(dunlin: Path, tmp_path: Path) -> None:
    pages = dunlin.parent / "pages"
    (pages / "assets").mkdir()
    for name in ("Index.md", "aux.md", "sw.js", "assets/vandoc.js"):
        (pages / name).write_text("# Mine\n")
    (pages / "host.md").symlink_to("/etc/hostname")
    with pytest.raises(VandocError) as raised:
        publish(dunlin, tmp_path / "out")
    for name in ("Index.md", "aux.md", "sw.js", "assets/vandoc.js", "host.md"):
        assert f"pages/{name} " in str(raised.value)
    assert not (tmp_path / "out/dunlin").exists()


def test_a_folder_of_pages_that_is_a_link_elsewhere_is_refused(dunlin: Path, tmp_path: Path) -> None:
    (dunlin.parent / "pages").rmdir()
    (tmp_path / "private").mkdir()
    (tmp_path / "private/letter.md").write_text("# Dear\n")
    (dunlin.parent / "pages").symlink_to(tmp_path / "private")
    with pytest.raises(VandocError, match="link out of the van's folder"):
        publish(dunlin, tmp_path / "out")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("# Ferry\n\n[map](http://[)\n", r"^pages/ferry\.md: cannot be made into a page: Invalid IPv6 URL$"),
        ("\n".join(f"{'    ' * depth}- deeper" for depth in range(300)), r"ferry\.md: .*: maximum recursion"),
        (
            "# Ferry\n\n*index.\u2028md* [x](index.\u2028md)\n",
            r"^.*dunlin/pages/ferry\.md:3:17: Doc file .*'index\.\\u2028md', but the target is not found",
        ),
    ],
    ids=["address", "depth", "no such page"],
)
def test_a_page_that_cannot_be_made_is_named(dunlin: Path, tmp_path: Path, text: str, said: str) -> None:
    (dunlin.parent / "pages/ferry.md").write_text(text, "utf-8")
    with pytest.raises(VandocError, match=said) as raised:
        publish(dunlin, tmp_path / "out")
    assert str(raised.value).isprintable()


def test_own_pages_are_added_without_what_a_camera_or_a_stranger_put_in(dunlin: Path, tmp_path: Path) -> None:
    pages = dunlin.parent / "pages"
    (pages / "shelf.jpg").write_bytes(photo("JPEG"))
    (pages / "ferry.md").write_text(
        "---\ntitle: <b>Ferry</b>\nsearch: 5\nscripts: ['\"></script><script>alert(1)</script>']\n"
        "template: redirect.html\n---\n\n# Ferry\n\n![The shelf](shelf.jpg)\n\n<script>alert(1)</script>\n"
    )
    with pytest.raises(VandocError, match=r"ferry\.md: not allowed in a manual.*<script>"):
        publish(dunlin, tmp_path / "out")
    site = publish(dunlin, tmp_path / "out", draft=True)
    tree = html5lib.parse((site / "ferry.html").read_text("utf-8"), namespaceHTMLElements=False)
    assert [e.get("src") for e in tree.iter("script")] == [
        "assets/first.js",
        "assets/vandoc.js",
        "assets/saved.js",
    ]
    assert [e.get("src") for e in tree.iter("img")] == ["shelf.jpg"]
    made = (site / "shelf.jpg").read_bytes()
    assert not [secret for secret in SECRETS if secret in made]


def test_a_customers_folder_and_camera_are_not_published(dunlin: Path, tmp_path: Path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    """The same pages from another working folder, under a folder with a name that is nobody's business."""
    (dunlin.parent / "smith-bench.jpg").write_bytes(photo("JPEG", 3000, 2000, 6))
    text = dunlin.read_text("utf-8")
    place = "{label: under the seat, "
    assert text.count(place) == 1
    dunlin.write_text(
        text.replace(place, f"{place}picture: {{file: smith-bench.jpg, alt: The seat}}, "), "utf-8"
    )
    shutil.copytree(tmp_path / "sites", tmp_path / "customers/Jane SMITH/sites")
    built = []
    for folder, van_file in (
        (tmp_path, dunlin),
        (tmp_path / "customers", Path("Jane SMITH/sites/dunlin/van.yml")),
    ):
        monkeypatch.chdir(folder)
        site = publish(van_file, folder / "out")
        built.append({p.relative_to(site): p.read_bytes() for p in sorted(site.rglob("*")) if p.is_file()})
    assert built[0] == built[1]
    for path, content in built[1].items():
        assert b"smith" not in content.lower(), path
        assert not [secret for secret in (b"OWNER-NAME", b"SERIAL-4711") if secret in content], path
