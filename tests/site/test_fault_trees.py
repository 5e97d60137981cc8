"""A tree in the browser: one step at a time without script, all of them on paper."""

from pathlib import Path

import pytest

from tests.conftest import DEMO_VANS
from tests.site.axe import violations_of_steps

VANS = [path.parent.name for path in DEMO_VANS]


def fault_pages(site: Path) -> list[Path]:
    return sorted((site / "fault").glob("*.html"))


@pytest.mark.parametrize("scripts", [True, False], ids=["with script", "without script"])
@pytest.mark.parametrize("folder", ["fault", "electrician/fault"])
def test_one_step_at_a_time_and_back_and_again(manuals, browser, scripts, folder):
    context = browser.new_context(
        viewport={"width": 360, "height": 640}, has_touch=True, java_script_enabled=scripts
    )
    page = context.new_page()
    page.goto((manuals / "curlew" / folder / "stopped-pump.html").as_uri())

    def shown() -> list[str]:
        return page.locator(".tree > section").evaluate_all(
            """all => all.filter(one => one.getClientRects().length
              && getComputedStyle(one).visibility === "visible").map(one => one.id)"""
        )

    assert shown() == ["step-1"]
    gone = ["step-1"]
    while (links := page.locator(f"#{gone[-1]} .choices a")).count():
        target = links.last.get_attribute("href").removeprefix("#")
        links.last.tap()
        assert shown() == [target]
        box = page.locator(f"#{target} h2").bounding_box()
        assert 0 <= box["y"] < 320  # the question is where the eye is
        gone.append(target)
    assert len(gone) > 2
    for before in reversed(gone[:-1]):
        back = page.locator(f"#{shown()[0]}").get_by_role("link", name="Back", exact=True)
        if back.count():
            back.tap()
        else:  # several steps lead there: only the browser knows from which one came, before all later ones
            page.go_back()
            while shown()[0] in gone[gone.index(before) + 1 :]:
                page.go_back()
        assert shown() == [before]
    page.locator("#step-1 .choices a").first.tap()
    page.locator(f"#{shown()[0]}").get_by_role("link", name="Start again").tap()
    assert shown() == ["step-1"]
    context.close()


@pytest.mark.parametrize("van", VANS)
def test_the_first_question_and_its_answers_are_on_the_first_screen(manuals, phone, van):
    for address in fault_pages(manuals / van):
        phone.goto(address.as_uri())
        box = phone.locator(".tree > section:visible h2").bounding_box()
        assert box["y"] + box["height"] <= 640, address.name
        assert phone.evaluate("document.documentElement.scrollWidth") <= 360, address.name
        heights = phone.locator(".tree > section:visible .choices a").evaluate_all(
            "all => all.map(row => row.getBoundingClientRect().height)"
        )
        assert heights
        assert min(heights) >= 48, address.name


def test_on_paper_every_step_shows_its_number(manuals, phone):
    phone.goto((manuals / "curlew/fault/stopped-pump.html").as_uri())
    phone.emulate_media(media="print")
    steps = phone.locator(".tree > section")
    assert steps.count() > 10
    assert all(step.is_visible() for step in steps.all())
    numbers = phone.locator(".tree h2 .n").all_inner_texts()
    assert numbers == [str(n) for n in range(1, steps.count() + 1)]
    assert not phone.locator(".tree .ways").first.is_visible()


def test_pictures_of_where_to_look_are_drawn(manuals, phone):
    """Each drawing stands once in the page; what a step shows of it must have ink."""
    phone.goto((manuals / "curlew/fault/stopped-pump.html").as_uri())
    for drawing in phone.locator(".tree figure svg").all():
        target = drawing.locator("use").get_attribute("href")
        assert phone.locator(target).count() == 1
        step = drawing.evaluate("svg => svg.closest('section').id")
        phone.goto(f"{(manuals / 'curlew/fault/stopped-pump.html').as_uri()}#{step}")
        box = drawing.evaluate(
            "svg => { const b = svg.querySelector('use').getBBox(); return [b.width, b.height] }"
        )
        assert min(box) > 50


def test_axe_finds_nothing_on_any_step(manuals, browser):
    """Every second, by night every third; `tests/benchmarks/axe_every_page.py` takes all, of every page."""
    names = ("fault/stopped-pump.html", "fault/all-dead.html", "electrician/fault/all-dead.html")
    pages = [manuals / "curlew" / name for name in names]
    assert violations_of_steps(browser, pages, by_day=2, by_night=3) == []
