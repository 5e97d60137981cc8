"""Imports run one way, and each room keeps to its own business."""

import ast
import sys
from pathlib import Path

import pytest

import vandoc

ROOT = Path(vandoc.__file__).parent

# A room may import rooms before it, and itself.
ORDER = [
    {"errors"},
    {"units", "yamltree", "messages"},
    {"data"},
    {"calc"},
    {"model"},
    {"explain"},
    {"loader", "schema"},
    {"editing"},
    {"archive"},
    {"starter"},
    {"network"},
    {"sizing"},
    {"energy"},
    {"commissioning"},
    {"upkeep"},
    {"checks"},
    {"history"},
    {"recording"},
    {"diagnosis"},
    {"remedy"},
    {"proposals"},
    {"diagram"},
    {"manual"},
    {"paper"},
    {"build"},
    {"publish"},
    {"plugin"},
    {"cli"},
    {"__main__"},
]
RANK = {room: rank for rank, rooms in enumerate(ORDER) for room in rooms}
# Words are read by `messages.py`, van files by `yamltree.py`; the others read settings and a seal.
YAML_READERS = {"messages.py", "yamltree.py", "archive/reading.py", "manual/settings.py", "publish.py"}
MODULES = sorted(ROOT.rglob("*.py"))


def room_of(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


def imports_of(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
    return found


def test_every_module_has_a_room():
    assert {room_of(path) for path in MODULES} - {"__init__"} == set(RANK)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_run_one_way(path):
    room = room_of(path)
    if room == "__init__":
        return
    for name in imports_of(path):
        if name.startswith("vandoc."):
            other = name.split(".")[1]
            if other in RANK:
                assert RANK[other] < RANK[room] or other == room, f"{path.name} imports {name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_foreign_imports_stay_in_their_rooms(path):
    room = room_of(path)
    tops = {name.split(".")[0] for name in imports_of(path)} - {"vandoc"}
    if room in ("calc", "data"):
        assert tops <= sys.stdlib_module_names
    if room not in ("plugin", "publish"):
        assert "mkdocs" not in tops
    if room not in ("units",):
        assert "pint" not in tops
    if room not in ("paper",):
        assert not {"weasyprint", "fontTools", "tinyhtml5", "markdown"} & tops
    if room not in ("diagram",):
        assert "graphviz" not in tops
    if room in ("model", "network", "sizing", "checks"):
        assert not {"jinja2", "markdown", "click"} & tops
    if path.relative_to(ROOT).as_posix() not in YAML_READERS:
        assert not {"yaml", "tomllib"} & tops


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_modules_stay_readable(path):
    assert len(path.read_text("utf-8").splitlines()) <= 400


def test_a_check_does_not_pay_for_the_site():
    """`vandoc check` must not load MkDocs, Jinja, Graphviz or the numeric libraries."""
    import subprocess

    code = (
        "import sys; sys.modules.update(numpy=None, scipy=None);"  # pint loads them where they are installed
        "import vandoc.cli, vandoc.build;"
        "heavy = ('mkdocs','jinja2','graphviz','segno','markdown','weasyprint','fontTools');"
        "print([m for m in heavy if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert out.strip() == "[]"
