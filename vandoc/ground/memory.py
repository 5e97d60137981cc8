"""Garbage collection, which finds nothing while everything that is made is kept."""

import atexit
import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def nothing_collected() -> Iterator[None]:
    """Disable garbage collection while modules are loaded, or one van is checked or written.

    Modules and results live until the end, so that each collection looks at all of them and frees nothing:
    the time of `check` would grow faster than the van.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def nothing_collected_at_exit() -> None:
    """Leave everything to the operating system when the process ends.

    Python would look at all modules and results once more: a tenth of the time of `check`.
    """
    atexit.unregister(gc.freeze)  # a process may run several commands
    atexit.register(gc.freeze)
