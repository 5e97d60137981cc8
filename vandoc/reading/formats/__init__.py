"""The formats of van files, part sheets and workshop files: older ones are read as the newest, in memory.

Each step is a module `from_<number>.py` beside this one. Its `van`, `sheet` and `workshop` each take the tree
of such a file in that format and return it in the next. Steps are found by their number.
"""

import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import Literal

from vandoc.ground.errors import Problem, SystemFileError
from vandoc.ground.messages import Messages
from vandoc.reading.yamltree import Node

FORMAT_KEY = "format"
UNSTATED_FORMAT = 1
"""The format of a file that does not state one."""

Document = Literal["van", "sheet", "workshop"]
Conversion = Callable[[Node], Node]
_WORDS = Messages("vandoc.reading.formats", "formats")


@dataclass(frozen=True)
class Step:
    """Conversion from one format to the next.

    Attributes
    ----------
    van, sheet, workshop : callable
        Each takes a tree and returns the tree in the next format. A node that stays the same is the same
        node; one that changes is made new and keeps its location. The given tree is not changed.
    """

    van: Conversion
    sheet: Conversion
    workshop: Conversion


@cache
def steps() -> dict[int, Step]:
    """Return each step by the format that it reads.

    Raises
    ------
    LookupError
        If there is no step from a format to the next.
    """
    names = [module.name for module in pkgutil.iter_modules(__path__)]
    numbers = sorted(int(name.removeprefix("from_")) for name in names if name.startswith("from_"))
    if numbers != list(range(UNSTATED_FORMAT, UNSTATED_FORMAT + len(numbers))):
        raise LookupError(f"{__name__}: the steps {numbers} do not follow each other from {UNSTATED_FORMAT}")
    found = {number: import_module(f"{__name__}.from_{number}") for number in numbers}
    return {number: Step(module.van, module.sheet, module.workshop) for number, module in found.items()}


def newest() -> int:
    """Return the number of the newest format.

    Examples
    --------
    >>> newest()
    2
    """
    return max(steps(), default=UNSTATED_FORMAT - 1) + 1


def converted(tree: Node, document: Document, problems: list[Problem]) -> Node:
    """Return what a file says in the newest format, each value with its place in the file.

    Parameters
    ----------
    tree : Node
        A mapping, as it is in the file; not changed.
    document : str
        What kind of file it is.
    problems : list of Problem
        Takes the problem if the stated format is no format; the file is then read as the newest.

    Raises
    ------
    SystemFileError
        If the file's format is later than the newest that this version of vandoc knows.
    """
    stated = tree.value.get(FORMAT_KEY, Node(tree.location, UNSTATED_FORMAT))
    number = stated.value
    if isinstance(number, bool) or not isinstance(number, int) or number < UNSTATED_FORMAT:
        message = _WORDS.say("not-a-format", value=repr(stated.plain()), newest=newest())
        problems.append(Problem(stated.location, message))
        return unnumbered(tree)
    if number > newest():
        message = _WORDS.say("later", number=number, newest=newest())
        raise SystemFileError([Problem(stated.location, message)])
    for step in range(number, newest()):
        tree = getattr(steps()[step], document)(tree)
    return tree


def unnumbered(tree: Node) -> Node:
    """Return a mapping without its statement of the format."""
    if FORMAT_KEY not in tree.value:
        return tree
    value = {key: child for key, child in tree.value.items() if key != FORMAT_KEY}
    return Node(tree.location, value, {key: place for key, place in tree.keys.items() if key != FORMAT_KEY})
