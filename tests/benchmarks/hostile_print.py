"""Everything that is printed of each demonstration van whose every text is hostile.

Run it from the project's folder: ``python tests/benchmarks/hostile_print.py``. The tests print labels and
lists of one of the vans, and everything of a smaller one.
"""

import shutil
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.conftest import DEMO_VANS, ROOT  # noqa: E402 (found only then)
from tests.hostile import fill  # noqa: E402
from tests.site.test_injection import assert_nothing_happens_by_itself, run  # noqa: E402


def main() -> None:
    for van in (path.parent.name for path in DEMO_VANS):
        with TemporaryDirectory() as name:
            folder = Path(name)
            shutil.copytree(ROOT / "sites" / van, folder / "sites" / van)
            shutil.copytree(ROOT / "sites/parts", folder / "sites/parts")
            count = fill(folder / "sites", van)
            run(folder, "print", f"sites/{van}")
            printed = sorted((folder / "print" / van).rglob("*.pdf"))
            assert_nothing_happens_by_itself(printed)
            print(f"{van}: {count} places filled, {len(printed)} documents do nothing by themselves")


if __name__ == "__main__":
    main()
