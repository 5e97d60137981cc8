"""The page frame and the macros: markup by an HTML5 parser, behaviour in a browser."""

import re
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import html5lib
import jinja2
import pytest
import yaml
from mkdocs.commands.build import build
from mkdocs.config import load_config

import vandoc
from vandoc.ground.messages import LANGUAGE
from vandoc.pages.manual.settings import settings as manual_settings
from vandoc.pages.manual.text import WORDS, Markup, escape_text, macro

MANUAL = Path(vandoc.__file__).parent / "pages/manual"
THEME = MANUAL / "theme"
HOSTILE = '<script>alert(1)</script> *x* [y](z) "q" |&amp;'
CHROMIUM = Path("/usr/bin/chromium")


# Macros


class Macros:
    """The macros as a page calls them: what they give is markup."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_"):
            raise AttributeError(name)
        return macro(name)


macros = Macros()


def elements(html: str, name: str) -> list[Any]:
    return list(html5lib.parse(html, namespaceHTMLElements=False).iter(name))


@pytest.mark.parametrize(
    "html",
    [
        macros.signal("DANGER", HOSTILE, HOSTILE, HOSTILE),
        macros.steps([HOSTILE, (macros.signal("NOTICE", "a", "b", "c"), HOSTILE)]),
        macros.answer(HOSTILE, HOSTILE),
        macros.facts([(HOSTILE, HOSTILE)]),
        macros.swatch(HOSTILE, HOSTILE),
        macros.doors([(HOSTILE, HOSTILE, HOSTILE)]),
        macros.figure(Markup("<svg></svg>"), HOSTILE, HOSTILE),
        macros.call(HOSTILE, HOSTILE, HOSTILE),
        macros.quiet_link(HOSTILE, HOSTILE),
    ],
    ids=["signal", "steps", "answer", "facts", "swatch", "doors", "figure", "call", "quiet_link"],
)
def test_arguments_stay_text(html: str) -> None:
    html5lib.HTMLParser(strict=True).parseFragment(html)
    assert not elements(html, "script")
    assert HOSTILE in "".join(html5lib.parse(html, namespaceHTMLElements=False).itertext())
    assert "\n    " not in html, "Markdown would show it as code"


def test_only_hazards_to_people_carry_the_safety_alert_symbol() -> None:
    # ANSI Z535.6-2011: DANGER, WARNING, CAUTION carry the safety alert symbol; NOTICE does not (from memory).
    # ANSI Z535.4: hazard, consequence and how to avoid it are all told.
    for word, symbols in {"DANGER": 1, "WARNING": 1, "CAUTION": 1, "NOTICE": 0}.items():
        html = macros.signal(word, "It is hot.", "It burns.", "Wait.")
        assert len(elements(html, "{http://www.w3.org/2000/svg}svg")) == symbols
        texts = ["".join(p.itertext()) for p in elements(html, "p")]
        assert texts == [word, "It is hot. It burns.", "Wait."]
    with pytest.raises(jinja2.UndefinedError):
        macros.signal("ATTENTION", "a", "b", "c")


def test_a_caution_comes_before_its_step() -> None:
    html = macros.steps([(macros.signal("WARNING", "Live.", "Burns.", "Cover it."), "Pull the fuse.")])
    (step,) = elements(html, "li")
    assert [child.get("class") for child in step] == ["signal warning", "do"]


# Pages

DRAWING = Markup('<svg width="1200" height="90"><text>unsought</text></svg>')
GUARDED = (macros.signal("WARNING", "Heat.", "Fire.", "Fit 10 A."), "Pull fuse 7.")
DOORS = macros.doors([("fuse.html", "Something has stopped", "Find its fuse")])
FUSE = f"""# The water pump has stopped

{macros.answer("Fuse 7", Markup("10 A, " + macros.swatch("#c8102e", "red")))}

{macros.steps(["Turn the tap off.", GUARDED])}

{macros.figure(DRAWING, "Board", Markup("- one"))}

| {" | ".join(f"Column number {i}" for i in range(8))} |
|{"---|" * 8}
| {" | ".join("text in a cell" for _ in range(8))} |
"""
PAGES = {
    "index.md": f"# What do you need?\n\n{DOORS}\n",
    "fuse.md": FUSE,
    "work/index.md": "# For the electrician\n\nText.\n",
    "work/odd.md": f"# {escape_text(HOSTILE)}\n\nText.\n",
}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small manual, built with the settings that the theme asks for."""
    root = tmp_path_factory.mktemp("manual")
    for name, text in PAGES.items():
        path = root / "docs" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    settings = deepcopy(manual_settings())
    settings["theme"] |= {"custom_dir": str(THEME), "language": LANGUAGE}
    owner = {"name": "Curlew", "workshop": "Reed &amp; Son", "revision": "3", "date": "12 May 2025"}
    owner |= {"phone": "+44 1632 960123", "phone_href": "tel:+441632960123"}
    settings |= {"site_name": HOSTILE, "extra": {"vandoc": {**owner, "frame": WORDS["frame"]}}}
    settings |= {"docs_dir": str(root / "docs"), "site_dir": str(root / "site")}
    settings |= {"nav": ["index.md", "fuse.md", {"Work": ["work/index.md", "work/odd.md"]}]}
    (root / "mkdocs.yml").write_text(yaml.safe_dump(settings))
    config = load_config(str(root / "mkdocs.yml"), strict=True)
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    return root / "site"


@pytest.mark.parametrize("name", ["index.html", "fuse.html", "work/index.html", "work/odd.html"])
def test_page_frame_is_valid_and_has_its_landmarks(site: Path, name: str) -> None:
    html = (site / name).read_text()
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)
    assert tree.get("lang") == "en"
    assert [e.get("content") for e in tree.iter("meta") if e.get("name") == "robots"] == ["noindex"]
    for landmark in ("main", "header", "footer", "nav", "h1"):
        assert len(list(tree.iter(landmark))) == 1, landmark
    footer = " ".join("".join(next(tree.iter("footer")).itertext()).split())
    assert footer == "Reed & Son +44 1632 960123 Revision 3 · 12 May 2025"
    assert {e.get("href") for e in tree.iter("a")} >= {"#main", "tel:+441632960123"}
    assert "".join(next(tree.iter("header")).itertext()).split()[0] == "Curlew"
    scripts = [e for e in tree.iter("script") if e.get("src")]
    assert [e.get("src", "").split("/")[-1] for e in scripts] == ["first.js", "vandoc.js"]
    for element in tree.iter():
        for attribute in ("src", "href"):
            assert not re.match(r"(https?:)?//", element.get(attribute) or "")


def test_titles_stay_text(site: Path) -> None:
    tree = html5lib.parse((site / "work/odd.html").read_text(), namespaceHTMLElements=False)
    assert "".join(next(tree.iter("h1")).itertext()) == HOSTILE
    assert "alert(1)" in "".join(next(tree.iter("title")).itertext())
    current = [e for e in tree.iter("a") if e.get("aria-current")]
    assert len(current) == 1
    assert not [e for e in tree.iter("script") if "alert" in "".join(e.itertext())]


def test_contents_show_a_sections_pages_only_inside_it(site: Path) -> None:
    def listed(name: str) -> list[str | None]:
        tree = html5lib.parse((site / name).read_text(), namespaceHTMLElements=False)
        return [e.get("href") for e in next(tree.iter("nav")).iter("a")]

    assert listed("index.html") == ["index.html", "fuse.html", "work/index.html"]
    assert listed("work/index.html") == ["../index.html", "../fuse.html", "index.html", "odd.html"]


def test_drawing_is_found_by_its_words_not_its_labels(site: Path) -> None:
    index = (site / "search/search_index.js").read_text()
    assert "Pull fuse 7" in index
    assert "unsought" not in index


# Behaviour in a browser


@pytest.fixture
def phone(browser: Any) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 360, "height": 640}, color_scheme="light")
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.elsewhere = []
    page.on("request", lambda request: request.url.startswith("file:") or page.elsewhere.append(request.url))
    page.on("pageerror", lambda error: page.elsewhere.append(str(error)))
    yield page
    assert page.elsewhere == []
    context.close()


@pytest.mark.parametrize("name", ["index.html", "fuse.html", "work/odd.html"])
def test_nothing_is_wider_than_a_phone(site: Path, phone: Any, name: str) -> None:
    phone.goto((site / name).as_uri())
    assert phone.evaluate("document.documentElement.scrollWidth") == 360


def test_wide_frames_scroll_say_so_and_take_the_keyboard(site: Path, phone: Any) -> None:
    phone.goto((site / "fuse.html").as_uri())
    assert phone.locator(".sheet .swipe").is_visible()
    assert phone.evaluate("[...document.querySelectorAll('.scroll')].every(f => f.tabIndex === 0)")


def test_search_works_from_disk_and_forgives_a_slip(site: Path, phone: Any) -> None:
    phone.goto((site / "work/odd.html").as_uri())
    phone.click("#find")
    phone.keyboard.type("water pomp")
    phone.locator(".search li").first.wait_for()
    phone.keyboard.press("Enter")
    phone.wait_for_url("**/fuse.html*")


def test_search_without_a_result_says_so_and_escape_closes_it(site: Path, phone: Any) -> None:
    phone.goto((site / "index.html").as_uri())
    phone.click("#find")
    phone.keyboard.type("qqqq")
    phone.get_by_text("Nothing found").wait_for()
    phone.keyboard.press("Escape")
    assert not phone.locator("#search").is_visible()


def test_contents_open_and_close_by_keyboard(site: Path, phone: Any) -> None:
    phone.goto((site / "index.html").as_uri())
    phone.focus(".contents-button")
    phone.keyboard.press("Enter")
    phone.locator("#contents a").first.wait_for()
    phone.keyboard.press("Escape")
    assert not phone.locator("#contents").is_visible()


def test_night_is_kept_from_page_to_page(site: Path, phone: Any) -> None:
    ground = "getComputedStyle(document.body).backgroundColor"
    phone.goto((site / "index.html").as_uri())
    day = phone.evaluate(ground)
    phone.click("#scheme")
    night = phone.evaluate(ground)
    phone.goto((site / "fuse.html").as_uri())
    assert phone.evaluate(ground) == night != day


def test_without_scripts_contents_open_and_dead_buttons_are_gone(site: Path, browser: Any) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 640}, java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "index.html").as_uri())
    assert not page.locator("#find").is_visible()
    page.click(".contents-button")
    page.click("#contents a:has-text('water pump')")
    assert page.url.endswith("fuse.html")
    context.close()


def test_lines_are_short_enough_to_read(site: Path, browser: Any) -> None:
    # Common practice: at most 66 characters to the line.
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.goto((site / "work/index.html").as_uri())
    text = "The battery does not like to be left empty for weeks, in the cold least of all. " * 6
    lines = page.evaluate(
        """text => {
          const paragraph = document.querySelector("main p");
          paragraph.textContent = text;
          const range = document.createRange(), counts = {};
          for (let i = 0; i < text.length; i++) {
            range.setStart(paragraph.firstChild, i);
            range.setEnd(paragraph.firstChild, i + 1);
            const top = Math.round(range.getBoundingClientRect().top);
            counts[top] = (counts[top] || 0) + 1;
          }
          return Object.values(counts);
        }""",
        text,
    )
    assert 50 < max(lines) <= 70  # single lines differ a little from the mean
    assert sum(lines[:-1]) / len(lines[:-1]) <= 66
    context.close()
