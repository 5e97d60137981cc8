"""Draw the diagrams of generated vans: no text may meet another or a line, and the overviews must fit A3.

Usage: sheets.py [VANS]
"""

import sys
from pathlib import Path
from types import ModuleType

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.diagram.test_single_line import A3_MM, CAPITALS, crossings, drawings, href_for  # noqa: E402
from tests.vans.generated import generated  # noqa: E402
from vandoc.analysis import Van  # noqa: E402
from vandoc.pages.diagram.single_line import sheets  # noqa: E402


def main(count: int) -> int:
    """Print what is wrong with the sheets of `count` vans, and how many sheets there were."""
    wrong = drawn = 0
    least = float("inf")
    for seed in range(count):
        van = Van(generated(seed, circuits=60 if seed % 10 == 9 else None))
        for svg in drawings(van):
            drawn += 1
            for found in crossings(svg):
                wrong += 1
                print(f"van {seed}: {found}")
        for sheet in sheets(van, href_for):
            if sheet.frame is not None:
                scale = min(A3_MM[0] / sheet.frame.width, A3_MM[1] / sheet.frame.height)
                least = min(least, 12.0 * CAPITALS * scale)
    print(f"{count} vans, {drawn} sheets, {wrong} crossings, smallest capitals on A3 {least:.2f} mm")
    return int(wrong > 0 or least < 1.8)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 50))
