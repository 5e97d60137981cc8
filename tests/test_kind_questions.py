"""Rooms ask an item of equipment about itself, not of which kind it is.

Outside `model/kinds/` no code tests for the class of a kind or compares a kind's name. What concerns one kind
alone asks for all items of that kind (`of_kind`, `pieces`); `kind_questions.yml` lists which module asks for
which kinds, by reason.
"""

import ast
from pathlib import Path

import pytest
import yaml

import vandoc
from vandoc.model import equipment as eq

ROOT = Path(vandoc.__file__).parent
OWN = {kind.__name__ for kind in eq.kinds().values()}
HOME = ("model/kinds/", "model/equipment.py")
MODULES = [path for path in sorted(ROOT.rglob("*.py")) if not str(path.relative_to(ROOT)).startswith(HOME)]
ASKED = {"of_kind", "pieces"}
LISTED = yaml.safe_load(Path(__file__).with_name("kind_questions.yml").read_text("utf-8"))
FOLDERS = tuple(folder for entry in LISTED for folder in entry.get("folders", ()))
ALLOWED = {module: set(names) for entry in LISTED for module, names in entry.get("modules", {}).items()}


def from_the_model(tree: ast.Module) -> set[str]:
    """The names of kinds in a module that come from the model; other rooms have a `Battery` of their own."""
    imported = {
        alias.asname or alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("vandoc.model")
        for alias in node.names
    }
    return OWN & imported


def classes_in(node: ast.expr, own: set[str]) -> set[str]:
    """The kinds that an expression names: `eq.Fuse | eq.FuseBoard`, `(Charger, Battery)`."""
    found = set()
    for part in ast.walk(node):
        if isinstance(part, ast.Name) and part.id in own:
            found.add(part.id)
        if isinstance(part, ast.Attribute) and part.attr in OWN and getattr(part.value, "id", "") == "eq":
            found.add(part.attr)
    return found


def questions(text: str) -> tuple[list[str], set[str]]:
    """The tests for a kind in a module, by line, and the kinds of which it asks for all items."""
    tree = ast.parse(text)
    own = from_the_model(tree)
    tests, asked = [], set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            if name in ("isinstance", "issubclass") and classes_in(node.args[1], own):
                tests.append(f"{node.lineno}: {ast.unparse(node)}")
            if name in ASKED:
                asked |= {kind for arg in node.args for kind in classes_in(arg, own)}
        if isinstance(node, ast.Compare):
            left = ast.unparse(node.left)
            if left.endswith(("piece.kind", "type(piece)")):
                tests.append(f"{node.lineno}: {ast.unparse(node)}")
    return tests, asked


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_module_tests_for_a_kind(path):
    assert questions(path.read_text("utf-8"))[0] == []


def test_only_what_concerns_one_kind_asks_for_its_items():
    found = {}
    for path in MODULES:
        name, asked = str(path.relative_to(ROOT)), questions(path.read_text("utf-8"))[1]
        if asked and not name.startswith(FOLDERS):
            found[name] = asked
    assert found == ALLOWED


def test_each_entry_has_its_reason():
    assert all(entry["reason"] for entry in LISTED)


@pytest.mark.parametrize(
    "text",
    [
        "from vandoc.model import equipment as eq\nisinstance(it, eq.Charger | eq.Battery)",
        "from vandoc.model.equipment import Battery\nisinstance(it, (int, Battery))",
        "type(piece) is Charger",
        "piece.kind == 'charger'",
    ],
)
def test_a_test_for_a_kind_is_noticed(text):
    assert questions(text)[0]
    assert questions("from vandoc.ground.calc.devices import Battery\nisinstance(it, Battery)")[0] == []
