"""What an owner does with the manual on a phone: every load leads to its fuse in two taps."""

from functools import cache
from pathlib import Path
from typing import Any

import html5lib
import pytest

from tests.conftest import DEMO_VANS
from tests.site.axe import addresses, wider_than_a_phone
from vandoc.doors.build import read

VANS = {path.parent.name: path for path in DEMO_VANS}


def loads_with_fuses() -> list[tuple[str, str, str, int]]:
    cases = []
    for van, path in VANS.items():
        system = read(path).system
        for circuit in system.circuits:
            for load in circuit.loads:
                cases.append((van, system.loads[load].name, circuit.fuse.board, circuit.fuse.position))
    return cases


CASES = loads_with_fuses()


@cache
def parsed(page: Path) -> Any:
    return html5lib.parse(page.read_text("utf-8"), namespaceHTMLElements=False)


def test_the_largest_van_has_18_circuits_or_more():
    assert len({case[3:] + case[2:3] for case in CASES if case[0] == "curlew"}) >= 18


@pytest.mark.parametrize(("van", "load", "board", "position"), CASES)
def test_each_load_is_one_link_from_the_list_to_its_fuse(manuals, van, load, board, position):
    """Read without a browser: the link with the load's name leads to a page with its number."""
    tree = parsed(manuals / van / "stopped.html")
    links = {
        " ".join("".join(link.itertext()).split()): link.get("href")
        for link in tree.iter("a")
        if (link.get("href") or "").startswith("fuse/")
    }
    targets = [href for words, href in links.items() if load.casefold() in words.casefold()]
    assert f"fuse/{board}.{position}.html" in targets
    page = parsed(manuals / van / f"fuse/{board}.{position}.html")
    answer = next(e for e in page.iter("p") if "answer" in (e.get("class") or ""))
    assert str(position) in "".join(answer.itertext())


@pytest.mark.parametrize("van", VANS)
@pytest.mark.parametrize("scripts", [True, False], ids=["with script", "without script"])
def test_from_the_start_page_to_the_fuse_in_two_taps(manuals, browser, van, scripts):
    load, board, position = next(case[1:] for case in CASES if case[0] == van and "pump" in case[1])
    context = browser.new_context(
        viewport={"width": 360, "height": 640}, has_touch=True, java_script_enabled=scripts
    )
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.goto((manuals / van / "index.html").as_uri())
    door = page.get_by_role("link", name="something has stopped")
    box = door.bounding_box()
    assert box["y"] + box["height"] <= 640, "the door is below the first screen"
    assert box["height"] >= 44
    door.tap()
    page.wait_for_url("**/stopped.html*")
    page.get_by_role("link", name=load).first.tap()
    page.wait_for_url(f"**/fuse/{board}.{position}.html*")
    answer = page.locator(".answer strong").first
    assert str(position) in answer.inner_text()
    box = answer.bounding_box()
    assert box["y"] + box["height"] <= 640, "the answer is below the first screen"
    context.close()


@pytest.mark.parametrize("van", VANS)
def test_nothing_is_wider_than_a_phone(manuals, phone, van):
    """Every kind of page of the largest van, every eighth of each.

    The benchmark `tests/benchmarks/axe_every_page.py` takes every page.
    """
    kinds = addresses(manuals / van)[:: 1 if van == "curlew" else 3]
    pages = {*kinds, *sorted((manuals / van).rglob("*.html"))[::8]}
    assert wider_than_a_phone(phone, sorted(pages)) == []


def test_search_finds_a_load_from_disk(manuals, phone):
    phone.goto((manuals / "curlew/index.html").as_uri())
    phone.click("#find")
    phone.keyboard.type("water pump")
    phone.locator(".search li").first.wait_for()
    phone.keyboard.press("Enter")
    phone.wait_for_url("**/curlew/**")
    assert "pump" in phone.inner_text("main").lower()


@pytest.mark.parametrize("van", VANS)
def test_every_owner_page_has_one_heading_and_no_jargon_code(manuals, van):
    for page in sorted((manuals / van).glob("*.html")):
        tree = parsed(page)
        assert len(list(tree.iter("h1"))) == 1, page.name
        main = next(tree.iter("main"))
        assert not list(main.iter("code")), page.name


def test_the_manual_says_that_the_van_is_fictitious(manuals):
    for van in VANS:
        assert "This van does not exist" in Path(manuals / van / "index.html").read_text("utf-8")
