"""Pages and printed books show whose work a van is; all that a workshop file says is text."""

import re
import shutil
from functools import partial
from io import BytesIO
from pathlib import Path

import html5lib
import pytest
from PIL import Image

from tests.manual.test_pictures import SECRETS, photo
from tests.vans.small import SMALL
from vandoc.doors import build
from vandoc.doors.publish import publish, withdraw
from vandoc.ground.errors import SystemFileError
from vandoc.pages.manual.no_signal.offline import parts
from vandoc.pages.manual.pictures import LOGO_PX
from vandoc.paper.printing import LabelOptions

HTML = "{http://www.w3.org/1999/xhtml}"
TEXT = """\
name: Marsh Vans (fictitious)
phone: "+44 1632 960 961"
logo: {file: logo.jpg, alt: a heron}
texts: {welcome: Welcome aboard., service: The first service is free., handover: Two people sign.}
"""


def below_a_workshop(folder: Path) -> Path:
    """A van without contact details of its own, and a workshop with a large logo from a camera."""
    (folder / "workshop.yml").write_text(TEXT, "utf-8")
    (folder / "logo.jpg").write_bytes(photo("JPEG", 1200, 300, orientation=1))
    text = SMALL.read_text("utf-8")
    van_file = folder / "vans/dunlin/van.yml"
    van_file.parent.mkdir(parents=True)
    van_file.write_text(f"{text[: text.index('workshop:')]}{text[text.index('places:') :]}", "utf-8")
    return van_file


@pytest.fixture
def van(tmp_path: Path) -> Path:
    return below_a_workshop(tmp_path)


@pytest.fixture
def shop(tmp_path: Path):
    """Write another workshop file above the van."""
    return partial((tmp_path / "workshop.yml").write_text, encoding="utf-8")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("site")
    return publish(below_a_workshop(folder), folder / "out")


def trees(site: Path):
    for page in sorted(site.rglob("*.html")):
        yield page, html5lib.parse(page.read_text("utf-8"))


def test_every_page_shows_name_telephone_and_logo(site):
    count = 0
    for page, tree in trees(site):
        footers = list(tree.iter(f"{HTML}footer"))
        if not footers:
            continue
        (footer,) = footers
        words = " ".join("".join(footer.itertext()).split())
        assert words.startswith("Marsh Vans (fictitious) +44 1632 960 961"), page
        (image,) = footer.iter(f"{HTML}img")
        assert image.get("alt") == "a heron"
        assert (page.parent / image.get("src")).resolve() == site.resolve() / "pictures/workshop.jpg"
        count += 1
    assert count > 40


def test_the_logo_is_published_small_and_without_what_a_camera_adds(site):
    content = (site / "pictures/workshop.jpg").read_bytes()
    assert not [secret for secret in SECRETS if secret in content]
    assert Image.open(BytesIO(content)).size == (LOGO_PX, LOGO_PX // 4)


def test_the_logo_is_saved_with_the_owners_part(site):
    files = {
        path.relative_to(site).as_posix(): path.read_bytes() for path in site.rglob("*") if path.is_file()
    }
    assert "pictures/workshop.jpg" in parts(files)[0]


def test_its_texts_are_on_their_pages_alone(van):
    files = build.write_manual(build.read(van)).files
    for words, page in (
        ("Welcome aboard.", "index.md"),
        ("The first service is free.", "service.md"),
        ("Two people sign.", "electrician/handover.md"),
    ):
        found = [name for name, text in files.items() if isinstance(text, str) and words in text]
        assert found == [page], words


def test_the_electricians_summary_names_the_workshops_standards(van, shop):
    shop(f"{TEXT}bases: [ISO 13297, IEC 60364-5-52]\n")
    page = str(build.write_manual(build.read(van)).files["electrician/index.md"])
    assert "the strictest of ISO 13297 and IEC 60364-5-52, named by the workshop" in page.replace(
        "&#45;", "-"
    )


def test_a_van_files_own_text_takes_precedence(van):
    van.write_text(f"{van.read_text('utf-8')}\ntexts: {{welcome: Hello Teal.}}\n", "utf-8")
    page = str(build.write_manual(build.read(van)).files["index.md"])
    assert "Hello Teal." in page
    assert "Welcome aboard" not in page


def test_a_withdrawn_manual_names_the_workshop(van, tmp_path):
    page = (withdraw(van, tmp_path / "gone") / "index.html").read_text("utf-8")
    assert "1632" in page


def test_a_logo_that_is_no_picture_after_all_is_told_with_its_place(van):
    (van.parents[2] / "logo.jpg").write_bytes(b"\xff\xd8\xffnothing more")
    with pytest.raises(
        SystemFileError, match=r"workshop\.yml:3:14: logo\.file: 'logo\.jpg' cannot be read as"
    ):
        build.write_manual(build.read(van))


def test_a_workshop_file_is_followed_at_the_next_build(van, shop, site, tmp_path):
    shutil.copytree(site, tmp_path / "out/dunlin")
    assert "Marsh Vans" in (site / "index.html").read_text("utf-8")
    shop(TEXT.replace("Marsh Vans", "Fen Vans"))
    again = publish(van, tmp_path / "out")
    assert "Fen Vans" in (again / "index.html").read_text("utf-8")
    assert "Marsh Vans" not in (again / "index.html").read_text("utf-8")


TRICKS = (
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    '"><img src=x onerror=alert(1)>',
    "[a](javascript:alert(1)) ![b](//elsewhere.example/x) `c` **d** {{ 7 * 7 }}",
    "# Title\\n\\n- \u202eitem | cell",
    '=HYPERLINK("//elsewhere.example")',
)


def test_nothing_in_it_becomes_markup(van, shop, site, tmp_path):
    plain = elements_of(site)
    name, phone, alt, welcome, service, handover = (trick.replace("'", "''") for trick in TRICKS)
    shop(
        f"name: '{name}'\nphone: '{phone} 1'\nlogo: {{file: logo.jpg, alt: '{alt}'}}\n"
        f"texts: {{welcome: '{welcome}', service: '{service}', handover: '{handover}'}}\n"
    )
    tricky = publish(van, tmp_path / "tricky")
    assert elements_of(tricky) == plain
    text = "".join(html5lib.parse((tricky / "index.html").read_text("utf-8")).itertext())
    assert TRICKS[0] in text
    assert "[a](javascript:alert(1))" in text


def elements_of(site: Path) -> dict[str, list[str]]:
    """The elements of each page, without the link that a telephone number becomes."""
    return {
        page.relative_to(site).as_posix(): [
            item.tag for item in tree.iter() if isinstance(item.tag, str) and item.tag != f"{HTML}a"
        ]
        for page, tree in trees(site)
    }


def test_the_printed_book_has_name_and_logo_on_its_cover(van):
    pypdf = pytest.importorskip("pypdf")
    made = build.print_paper(build.read(van), ["owner"], LabelOptions())
    (content,) = (content for name, content in made.files.items() if name.endswith("owner.pdf"))
    cover = pypdf.PdfReader(BytesIO(content)).pages[0]
    assert "Marsh Vans (fictitious)" in re.sub(r"\s+", " ", cover.extract_text())
    assert [image.image.size for image in cover.images] == [(LOGO_PX, LOGO_PX // 4)]
