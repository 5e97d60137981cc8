"""What a file states and what was completed are two types, so that an open size is not read by mistake.

Where sizes count, functions take a `CompletedSystem`, and mypy refuses what a file states in its place. When
it runs, an open size has no value at all.
"""

import ast
from pathlib import Path

import pytest
import yaml

import vandoc
from tests.vans.small import SMALL
from vandoc.analysis import Van
from vandoc.model.system import System

PACKAGE = Path(vandoc.__file__).parent
BELOW_FILES = ("physics", "analysis", "judgement", "pages", "paper", "doors")
# Before sizes are proposed, or only for names, texts and places in the file.
OF_STATED = {
    "analysis/unknown/supposing.py",
    "analysis/van.py",
    "doors/recording/entries.py",
    "judgement/checks/change.py",
    "pages/manual/imprint.py",
    "pages/manual/no_signal/withdrawn.py",
    "physics/energy/proposing.py",
}


def test_few_modules_below_the_files_take_what_a_file_states():
    taking = {
        path.relative_to(PACKAGE).as_posix()
        for storey in BELOW_FILES
        for path in (PACKAGE / storey).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.ImportFrom) and any(alias.name == "System" for alias in node.names)
    }
    assert taking == OF_STATED


def test_an_open_size_has_no_value_until_it_is_completed():
    file = yaml.safe_load(SMALL.read_text("utf-8"))
    del file["equipment"]["house"]["capacity"]
    van = Van(System.model_validate(file))
    with pytest.raises(LookupError, match="leisure battery"):
        _ = van.stated.batteries["house"].capacity_ah
    assert van.system.batteries["house"].capacity_ah > 0
    assert van.system.batteries["house"].stated_ah is None
