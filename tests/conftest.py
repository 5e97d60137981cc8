"""What tests of the built site share: the three demonstration manuals, and a browser."""

import fcntl
import gc
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[1]
CHROMIUM = Path("/usr/bin/chromium")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
DEMO_VANS = sorted((ROOT / "sites").glob("*/van.yml"))


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, Callable[[Path], object]], Path]:
    """Fill a folder of that name once for all processes of a run; nobody may change it afterwards."""
    common = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        common = common.parent

    def folder(name: str, fill: Callable[[Path], object]) -> Path:
        out = common / "made-once" / name
        out.parent.mkdir(exist_ok=True)
        with out.with_suffix(".lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            whole = out.with_suffix(".whole")
            if not whole.exists():
                out.mkdir()  # fails where an earlier try was left half made
                fill(out)
                whole.touch()
        return out

    return folder


@pytest.fixture(scope="session")
def manuals(made_once: Callable[[str, Callable[[Path], object]], Path]) -> Path:
    """A folder with the manual of each demonstration van, as `vandoc build` makes it."""
    from vandoc.doors.publish import publish

    def build(out: Path) -> None:
        for van_file in DEMO_VANS:
            publish(van_file, out)

    return made_once("manuals", build)


LONG = {
    ROOT / "tests" / name: place
    for place, name in enumerate((ROOT / "tests/long.txt").read_text("utf-8").split())
}


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--whole", action="store_true", help="also the test files listed in tests/long.txt")


def pytest_configure(config: pytest.Config) -> None:
    """Whoever names files or folders gets all of their tests."""
    if config.args_source is pytest.Config.ArgsSource.ARGS:
        config.option.whole = True
    config.option.loadscopereorder = False  # files keep our order, not that of their number of tests
    gc.set_threshold(
        100_000, 20, 20
    )  # what tests share lives until the end; a tenth of the time was collection


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """What takes long is left out of the quick set: not even what it imports is loaded."""
    return True if collection_path in LONG and not config.getoption("whole") else None


def pytest_report_header(config: pytest.Config) -> str | None:
    return (
        None if config.getoption("whole") else f"quick set: without {len(LONG)} files, which --whole runs too"
    )


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes long comes first, so that no core waits for the other at the end."""
    items.sort(key=lambda item: LONG.get(item.path, len(LONG)))


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
