"""The drawing of a sheet in a browser: it fits, is enlarged and moved in every way, and prints."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

A3_PT = (1190.55, 841.89)  # ISO 216: 420 × 297 mm


@pytest.fixture
def sheet(manuals: Path, browser: Any) -> Iterator[Any]:
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.goto((manuals / "curlew/electrician/diagram.html").as_uri())
    yield page
    page.close()


def view(page: Any) -> list[float]:
    return [float(n) for n in page.locator("figure.wide svg").get_attribute("viewBox").split()]


@pytest.mark.parametrize("width", [360, 1280, 1920])
def test_the_whole_drawing_fits_the_window(manuals, browser, width) -> None:
    page = browser.new_page(viewport={"width": width, "height": 800})
    page.goto((manuals / "curlew/electrician/diagram.html").as_uri())
    box = page.locator("figure.wide svg").bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= width
    assert box["width"] >= 0.9 * width - 10
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.locator("figure.upright").is_visible() == (width < 960)
    page.close()


def test_buttons_and_keys_enlarge_move_and_restore(sheet) -> None:
    whole = view(sheet)
    sheet.get_by_role("button", name="Larger").click()
    larger = view(sheet)
    assert larger[2] == pytest.approx(whole[2] / 1.5, abs=0.1)
    assert larger[3] / larger[2] == pytest.approx(whole[3] / whole[2], rel=1e-3)
    pane = sheet.locator("figure.wide .frame")
    pane.press("ArrowRight")
    assert view(sheet)[0] > larger[0]
    for _ in range(20):
        pane.press("ArrowRight")
    assert view(sheet)[0] + view(sheet)[2] == pytest.approx(whole[2], abs=0.1)  # it never leaves the drawing
    pane.press("0")
    assert view(sheet) == whole
    sheet.get_by_role("button", name="Smaller").click()
    assert view(sheet) == whole


def test_the_wheel_scrolls_the_page_and_enlarges_with_a_key_or_in_the_whole_window(sheet) -> None:
    whole = view(sheet)
    box = sheet.locator("figure.wide svg").bounding_box()
    sheet.mouse.move(box["x"] + 300, box["y"] + 200)
    sheet.mouse.wheel(0, -300)
    assert view(sheet) == whole
    sheet.get_by_role("button", name="Fill the window").click()
    filled = sheet.locator("figure.wide").bounding_box()
    assert (filled["width"], filled["height"]) == (1280, 800)
    sheet.mouse.move(600, 400)
    sheet.mouse.wheel(0, -300)
    sheet.wait_for_function("document.querySelector('figure.wide svg').viewBox.baseVal.width < 1500")
    sheet.keyboard.press("Escape")
    assert sheet.locator("figure.wide").bounding_box()["width"] < 1280


def test_a_drag_moves_the_drawing_and_opens_no_page(sheet) -> None:
    for _ in range(3):
        sheet.get_by_role("button", name="Larger").click()
    before, address = view(sheet), sheet.url
    box = sheet.locator("figure.wide svg").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    sheet.mouse.move(x, y)
    sheet.mouse.down()
    sheet.mouse.move(x - 120, y - 60, steps=4)
    sheet.mouse.up()
    after = view(sheet)
    assert after[0] > before[0]
    assert after[1] > before[1]
    assert sheet.url == address


def test_the_contents_stay_in_their_drawer(sheet) -> None:
    assert not sheet.locator("nav.contents").is_visible()
    sheet.get_by_role("button", name="Contents").click()
    assert sheet.locator("nav.contents").is_visible()


def test_the_overview_prints_as_one_sheet_of_a3(sheet, tmp_path) -> None:
    import pypdf

    sheet.pdf(path=str(tmp_path / "sheet.pdf"), prefer_css_page_size=True)
    pages = pypdf.PdfReader(tmp_path / "sheet.pdf").pages
    assert len(pages) == 1
    assert [float(side) for side in pages[0].mediabox[2:]] == pytest.approx(A3_PT, abs=2)
