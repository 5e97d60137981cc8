"""The labels of every demonstration van, on every sheet and tape: each word on its own, and large enough.

Run it from the project's folder: ``python tests/benchmarks/labels_everywhere.py``. The tests take every sheet
and tape once.
"""

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.manual.manuals import VANS  # noqa: E402 (found only then)
from tests.paper.test_labels import (  # noqa: E402
    assert_words_can_be_read,
    assert_words_lie_on_labels,
    printed,
)
from vandoc.paper.labels import sheets  # noqa: E402


def main() -> None:
    wrong = 0
    with TemporaryDirectory() as folder:
        for van in VANS:
            for name in sheets():
                try:
                    assert_words_lie_on_labels(printed(van, name), name, Path(folder))
                    assert_words_can_be_read(printed(van, name))
                except AssertionError as error:
                    wrong += 1
                    print(f"{van}, {name}: {str(error).splitlines()[0]}")
            print(f"{van}: {len(sheets())} sheets and tapes")
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
