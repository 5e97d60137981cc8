"""A process that has read the small vans, and tells of each mutant in its files whether the table notices it.

It answers each line of its input with one word. A child does the work and forgets it: vans are read once.
"""

import functools
import gc
import os
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType

sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.chemistries.added import all_added  # noqa: E402 (found only then)
from tests.says.said import labels_said, pages_said  # noqa: E402
from tests.says.table import broken, rows  # noqa: E402
from tests.says.traits import traits  # noqa: E402
from tests.says.vans import SMALL, van_files  # noqa: E402
from vandoc.doors.build import read, write_manual  # noqa: E402
from vandoc.ground.messages import Messages  # noqa: E402


def main() -> None:
    """Answer until the input ends."""
    with TemporaryDirectory() as folder, all_added():
        files = van_files(Path(folder))
        vans = [(traits(files[name]), read(files[name])) for name in SMALL]
        rows()

        def keeps() -> bool:
            return all(
                not any(broken(held, pages_said(write_manual(van)) | labels_said(van))) for held, van in vans
            )

        if not keeps():
            sys.exit("the table is broken without a mutant")
        print("ready", flush=True)
        for _ in sys.stdin:
            child = os.fork()
            if not child:
                code = 1
                try:
                    forget_words()
                    code = 0 if keeps() else 1
                finally:
                    os._exit(code)
            print("survived" if os.waitpid(child, 0)[1] == 0 else "noticed", flush=True)


def forget_words() -> None:
    """Make vandoc read its messages and templates again."""
    for thing in gc.get_objects():
        if isinstance(thing, Messages):
            thing.forget()
        elif isinstance(thing, functools._lru_cache_wrapper) and thing.__module__.startswith(
            ("vandoc.pages", "vandoc.paper", "vandoc.ground.messages")
        ):
            thing.cache_clear()


if __name__ == "__main__":
    main()
