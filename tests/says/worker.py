"""A process that has read the small vans, and tells of each changed file whether the table notices it.

It answers each line of its input, the path of the file, with one word. A child does the work and forgets it:
vans are read once. With `once`, it reads the vans by what the package is now, and answers once.
"""

import functools
import gc
import os
import sys
from collections.abc import Iterable
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
from vandoc.analysis import Van  # noqa: E402
from vandoc.doors.build import read, write_manual  # noqa: E402
from vandoc.ground.messages import Messages  # noqa: E402

FIRST = ("flooded-48", "lithium-alone", "nobody-knows", "two-chemistries", "gel-with-relay", "bare-agm")
"""Vans that differ most: few mutants meet the others."""


def main(once: bool) -> None:
    """Answer until the input ends."""
    order = sorted(SMALL, key=lambda name: (*FIRST, name).index(name))
    with TemporaryDirectory() as folder, all_added():
        files = van_files(Path(folder))
        rows()
        vans = ((traits(files[name]), read(files[name])) for name in order)
        if once:
            print("survived" if keeps(vans) else "noticed")
            return
        kept = list(vans)
        if not keeps(kept):
            sys.exit("the table is broken without a mutant")
        print("ready", flush=True)
        for line in sys.stdin:
            child = os.fork()
            if not child:
                code = 1
                try:
                    forget(Path(line.strip()).resolve())
                    code = 0 if keeps(kept) else 1
                finally:
                    os._exit(code)
            print("survived" if os.waitpid(child, 0)[1] == 0 else "noticed", flush=True)


def keeps(vans: Iterable[tuple[frozenset[str], Van]]) -> bool:
    """Return whether all vans keep the table, each with its traits; the first that does not ends it."""
    return all(not any(broken(held, pages_said(write_manual(van)) | labels_said(van))) for held, van in vans)


def forget(path: Path) -> None:
    """Make vandoc read a catalogue or a template again."""
    for thing in gc.get_objects():
        if isinstance(thing, Messages):
            if thing.path == path:
                thing.forget()
        elif isinstance(thing, functools._lru_cache_wrapper):
            templates = thing.__name__ == "environment"
            words = thing.__module__.startswith(("vandoc.pages", "vandoc.paper.words"))
            if words and (path.suffix == ".j2" or not templates):
                thing.cache_clear()


if __name__ == "__main__":
    main(once="once" in sys.argv)
