"""The pages of each demonstration van whose every text is hostile, beside those of a harmless one.

Run it from the project's folder: ``python tests/benchmarks/hostile_pages.py``. The tests take the
largest van.
"""

import sys
from pathlib import Path
from types import ModuleType

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.manual import test_hostile_text as asked  # noqa: E402 (found only then)
from tests.manual.manuals import VANS  # noqa: E402


def main() -> None:
    for van in VANS:
        manuals = asked.hostile_and_harmless(van)
        read = asked.read_pages(manuals[0])
        asked.test_no_text_adds_an_element_or_an_attribute(manuals, read)
        asked.test_no_text_adds_an_element_to_the_card(manuals)
        asked.test_no_script_handler_or_foreign_address_anywhere(read)
        asked.test_hostile_text_is_shown_as_it_was_written(manuals, read)
        asked.test_titles_and_the_page_frame_hold_no_markup(manuals)
        print(f"{van}: {len(read)} pages, {len(manuals[2])} hostile texts, no element more", flush=True)


if __name__ == "__main__":
    main()
