"""The list of lowest versions says what pyproject.toml says; whether they work, try_installs.py finds out."""

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
REQUIREMENT = re.compile(r"(?P<name>[\w.-]+)(?:\[\w+\])?>=(?P<lowest>[\d.]+)(?:,<\d+)?")
PIN = re.compile(r"(?P<name>[\w.-]+)==(?P<lowest>[\d.]+)")


def bounds(texts: list[str], form: re.Pattern[str]) -> dict[str, tuple[int, ...]]:
    """The version of each package as numbers, without zeros at its end; a text of another form is a fault."""
    found = {}
    for text in texts:
        match = form.fullmatch(text)
        assert match, f"{text!r} states no lowest version"
        numbers = [int(part) for part in match["lowest"].split(".")]
        while numbers[-1] == 0:
            numbers.pop()
        found[match["name"].lower()] = tuple(numbers)
    return found


def test_the_list_of_lowest_versions_is_that_of_pyproject() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    required = [*project["dependencies"], *project["optional-dependencies"]["paper"]]
    lines = (Path(__file__).parent / "lowest.txt").read_text("utf-8").splitlines()
    pins = [line for line in lines if line and not line.startswith("#")]
    assert len(pins) == len(set(pins))
    assert bounds(pins, PIN) == bounds(required, REQUIREMENT)
