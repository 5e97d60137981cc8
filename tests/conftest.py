"""What tests of the built site share: the three demonstration manuals, and a browser."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[1]
CHROMIUM = Path("/usr/bin/chromium")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
DEMO_VANS = sorted((ROOT / "sites").glob("*/van.yml"))


@pytest.fixture(scope="session")
def manuals(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the manual of each demonstration van, as `vandoc build` makes it."""
    from vandoc.doors.publish import publish

    out = tmp_path_factory.mktemp("manuals")
    for van_file in DEMO_VANS:
        publish(van_file, out)
    return out


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium; where it is missing the tests are skipped, but never in CI."""
    if not CHROMIUM.exists():
        if os.environ.get("CI") == "true":
            pytest.fail("Chromium is not installed, and CI must look at the pages")
        pytest.skip("Chromium is not installed")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def interruptible() -> None:
    """Commands can be stopped at a system call; where they cannot the tests are skipped, but never in CI."""
    from tests.interruption.harness import missing

    reason = missing()
    if reason and os.environ.get("CI") == "true":
        pytest.fail(f"{reason}, and CI must interrupt the commands")
    if reason:
        pytest.skip(reason)


@pytest.fixture
def phone(browser: Any) -> Iterator[Any]:
    """A page of 360 by 640 pixels; a failing script or a request to another host fails the test."""
    context = browser.new_context(viewport={"width": 360, "height": 640}, color_scheme="light")
    page = context.new_page()
    page.set_default_timeout(10_000)
    wrong: list[str] = []
    page.on("request", lambda request: request.url.startswith("file:") or wrong.append(request.url))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    yield page
    assert wrong == []
    context.close()
