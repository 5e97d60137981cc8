"""Every demonstration van in both systems of units: what on its pages is in the other one.

Run by hand: ``python tests/benchmarks/units_everywhere.py``. It prints each figure of the wrong system.
"""

import shutil
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType

ROOT = Path(__file__).parents[2]
# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(ROOT / "tests")]

from tests.bench.units import SYSTEMS, foreign, put_beside  # noqa: E402 (found only then)
from vandoc.doors.build import read, write_manual  # noqa: E402

VANS = ("curlew", "heron", "wren")


def main() -> None:
    for name in sys.argv[1:] or VANS:
        for units in SYSTEMS:
            with TemporaryDirectory() as made:
                folder = Path(made, "sites")
                shutil.copytree(ROOT / "sites" / name, folder / name)
                shutil.copytree(ROOT / "sites/parts", folder / "parts")
                van_file = put_beside(folder / name / "van.yml", units)
                found = [*foreign(write_manual(read(van_file, folder)).files, units)]
            print(f"{name}, {units}: {len(found)}")
            for one in found:
                print(f"  {one}")


if __name__ == "__main__":
    main()
