"""Three chemistries of others: a second lithium one, a sodium-ion, and one that nobody knows."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from vandoc.ground.chemistry import Chemistry, read, with_chemistry

FOLDER = Path(__file__).with_name("cells")
NAMES = ("nmc", "sodium", "novel")


def chemistry(name: str) -> Chemistry:
    """Return one of them by the name of its file."""
    return read(FOLDER / f"{name}.yml")


@contextmanager
def all_added() -> Iterator[None]:
    """Add the three of them, inside only."""
    with ExitStack() as stack:
        for name in NAMES:
            stack.enter_context(with_chemistry(chemistry(name)))
        yield
