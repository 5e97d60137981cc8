"""Every page and step of every demonstration van before axe-core, by day and by night, and its width.

Run it from the project's folder: ``python tests/benchmarks/axe_every_page.py``. The tests take a fixed
sample.
"""

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from playwright.sync_api import sync_playwright  # noqa: E402 (found only then)

from tests.conftest import CHROMIUM, DEMO_VANS, FLAGS  # noqa: E402
from tests.site.axe import violations, violations_of_steps, wider_than_a_phone  # noqa: E402
from vandoc.doors.publish import publish  # noqa: E402


def main() -> None:
    with TemporaryDirectory() as name, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        wrong = 0
        for van_file in DEMO_VANS:
            pages = sorted(publish(van_file, Path(name)).rglob("*.html"))
            found = violations(browser, pages, thinned=False)
            trees = [page for page in pages if page.parent.name == "fault"]
            found += violations_of_steps(browser, trees, by_day=1, by_night=1)
            phone = browser.new_page(viewport={"width": 360, "height": 640})
            found += [f"{name}: wider than a phone" for name in wider_than_a_phone(phone, pages)]
            phone.close()
            wrong += len(found)
            print(f"{van_file.parent.name}: {len(pages)} pages, {len(found)} violations")
            print(*(f"  {line}" for line in found), sep="\n", end="\n" if found else "")
        browser.close()
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
