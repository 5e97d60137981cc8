"""Files and pages of the workshop: from where, by which names, and what of their HTML is left."""

from pathlib import Path

import html5lib
import pytest

from vandoc.pages.manual.workshop_pages import collisions, fault_of_path, harmless, looping_links, safe_name


@pytest.fixture
def van(tmp_path: Path) -> Path:
    van = tmp_path / "sites/teal"
    (van / "pages/deep").mkdir(parents=True)
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "parts").mkdir()
    for file in (
        "elsewhere/secret.md",
        "parts/sheet.md",
        "sites/teal/notes.md",
        "sites/teal/pages/deep/a.md",
    ):
        (tmp_path / file).write_text("# x\n")
    return van


def fault(van: Path, path: str) -> str | None:
    return fault_of_path(van / "pages" / path, van / "pages", (van, van.parents[1] / "parts"))


def test_links_stay_inside_the_van_and_what_it_declares(van: Path) -> None:
    pages = van / "pages"
    (pages / "inside.md").symlink_to("../notes.md")
    (pages / "shared.md").symlink_to("../../../parts/sheet.md")
    (pages / "outside.md").symlink_to("../../../elsewhere/secret.md")
    (pages / "absolute.md").symlink_to("/etc/hostname")
    (pages / "folder").symlink_to("../../../elsewhere")
    (pages / "nowhere.md").symlink_to("../../../elsewhere/missing.md")
    assert fault(van, "deep/a.md") is None
    assert fault(van, "inside.md") is None
    assert fault(van, "shared.md") is None
    for path in ("outside.md", "absolute.md", "folder/secret.md", "nowhere.md"):
        assert "out of the van's folder" in (fault(van, path) or ""), path


def test_links_to_a_folder_above_are_found_without_walking_round(van: Path) -> None:
    pages = van / "pages"
    assert list(looping_links(pages)) == []
    (pages / "again").symlink_to(".")
    (pages / "deep/up").symlink_to("..")
    (pages / "beside").symlink_to("deep")
    assert sorted(looping_links(pages)) == ["again", "beside/up", "deep/up"]


@pytest.mark.parametrize("name", ["a.html", "sw.js", "drawing.svg", "van.yml", "a", "robots.txt"])
def test_only_pages_pictures_and_documents_are_published(van: Path, name: str) -> None:
    assert "cannot be published" in (fault(van, name) or "")


@pytest.mark.parametrize(
    "name",
    ["aux.md", "CON.md", "deep/nul.png", "com1.md", "lpt¹.md", "prn.x.md", "a:b.md", "a?.md", "dot./a.md"],
)
def test_names_that_some_systems_cannot_store_are_refused(van: Path, name: str) -> None:
    assert "some systems" in (fault(van, name) or "")


def test_things_named_like_a_device_get_another_file() -> None:
    assert [safe_name(name) for name in ("con", "aux.1", "com9", "nul")] == [
        "_con",
        "_aux.1",
        "_com9",
        "_nul",
    ]
    assert [safe_name(name) for name in ("console", "auxiliary", "com10", "com")] == [
        "console",
        "auxiliary",
        "com10",
        "com",
    ]


@pytest.mark.parametrize(
    ("own", "taken"),
    [
        ("index.html", "index.html"),
        ("Index.html", "index.html"),
        ("ASSETS/Vandoc.js", "assets/vandoc.js"),
        ("fuse.html", None),
        ("FUSE", "FUSE"),  # a file where the manual has a folder
        ("index.html/x.html", "index.html"),  # a folder where it has a file
        ("stra\u00dfe.html", "STRASSE.html"),
        ("cafe\u0301.html", "caf\u00e9.html"),
    ],
)
def test_addresses_that_collide_on_some_system(own: str, taken: str | None) -> None:
    ours = ("index.html", "assets/vandoc.js", "fuse/board.1.html", "STRASSE.html", "caf\u00e9.html")
    assert list(collisions({own: "mine"}, ours)) == ([("mine", taken)] if taken else [])


def test_own_files_collide_with_each_other_too() -> None:
    assert [name for name, _ in collisions({"A.html": "A.md", "a.html": "a.md"}, ())] == ["a.md"]


ATTACKS = [
    "<script>alert(1)</script>",
    "<scr<script>ipt>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<a href='javascript:alert(1)'>x</a>",
    "<a href='jAvA&#10;script:alert(1)'>x</a>",
    "<iframe src='https://elsewhere.example'></iframe>",
    "<object data='x.swf'></object><embed src=x>",
    "<meta http-equiv=refresh content='0;url=https://elsewhere.example'>",
    "<link rel=stylesheet href=https://elsewhere.example/x.css>",
    "<base href='https://elsewhere.example/'>",
    "<form action='https://elsewhere.example'><input name=a><button>Go</button></form>",
    "<img src='https://elsewhere.example/x.png'>",
    "<img src='//elsewhere.example/x.png'>",
    "<img src='\\\\elsewhere.example/x.png'>",
    "<img srcset='https://elsewhere.example/x.png 2x' src='a.png'>",
    "<svg onload=alert(1)><script>alert(1)</script></svg>",
    "<math><mtext></form><form><mglyph><style></math><img src onerror=alert(1)>",
    "<p style='background:url(https://elsewhere.example/x)'>x</p>",
    "<style>@import 'https://elsewhere.example/x.css'</style>",
    "<video src='https://elsewhere.example/v.mp4' autoplay></video>",
    "<div onmouseover=alert(1)>x</div>",
    "<noscript><p title='</noscript><img src=x onerror=alert(1)>'></noscript>",
]


@pytest.mark.parametrize("attack", ATTACKS)
def test_what_runs_or_asks_another_host_is_left_out_and_named(attack: str) -> None:
    made, gone = harmless(f"<p>before</p>{attack}<p>after</p>")
    assert gone
    assert "before" in made
    tree = html5lib.parse(made, namespaceHTMLElements=False)
    for element in tree.iter():
        assert str(element.tag).rpartition("}")[2] not in (
            *(
                "script",
                "style",
                "iframe",
                "object",
                "embed",
                "meta",
                "link",
                "base",
                "form",
                "input",
                "video",
            ),
            *("svg", "math"),
        )
        for name, value in element.attrib.items():
            assert not str(name).startswith("on")
            assert name not in ("style", "srcset")
            assert name not in ("href", "src") or ("elsewhere" not in value and "script:" not in value)


def test_a_heading_does_not_take_the_place_of_a_part_of_the_frame() -> None:
    made, gone = harmless('<h2 id="search">Search</h2><h2 id="shelf">Shelf</h2>')
    assert made == '<h2 id="own-search">Search</h2><h2 id="shelf">Shelf</h2>'
    assert gone == []


def test_what_markdown_makes_stays_as_it_is() -> None:
    from tests.manual.manuals import converter

    text = (
        "# Title\n\n## Part { #part .quiet }\n\n| a | b |\n| :-- | --: |\n| *x* | y |\n\n1. one\n2. [^1]\n\n"
        "> said\n\n![A picture](a.png) [other](b.md#part) <https://manuals.example.org>\n\n"
        "<details><summary>More</summary>\n<p>text</p></details>\n\n[^1]: note\n"
    )
    html = converter().reset().convert(text)
    made, gone = harmless(html)
    assert gone == []

    def shape(markup: str) -> list[tuple[str, tuple[tuple[str, str], ...]]]:
        tree = html5lib.parse(markup, namespaceHTMLElements=False)
        return [(str(e.tag), tuple(sorted(e.attrib.items()))) for e in tree.iter()]

    assert shape(made) == shape(html)
