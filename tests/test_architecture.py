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
    {"units", "yamltree", "messages", "disk"},
    {"figures"},
    {"data"},
    {"calc"},
    {"model"},
    {"explain"},
    {"loader", "schema"},
    {"editing"},
    {"archive"},
    {"output"},
    {"starter"},
    {"network"},
    {"sizing"},
    {"energy"},
    {"commissioning"},
    {"upkeep"},
    {"analysis"},
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
# The same inside the manual: what all its pages share, fault-finding, each reader's pages, what joins them.
MANUAL = [
    {"text", "settings", "supply", "pictures", "own"},
    {"book", "page", "plots"},
    {"fuse_looks", "since"},
    {"trouble"},
    {"owner"},
    {"electrician"},
    {"lists"},
    {"no_signal"},
    {"pages"},
]
RANK = {room: rank for rank, rooms in enumerate(ORDER) for room in rooms}
MANUAL_RANK = {room: rank for rank, rooms in enumerate(MANUAL) for room in rooms}
# Words are read by `messages.py`, van files by `yamltree.py`; the others read settings.
YAML_READERS = {"messages.py", "yamltree.py", "manual/settings.py", "publish.py"}
MODULES = sorted(ROOT.rglob("*.py"))


def room_of(path: Path, house: Path = ROOT) -> str:
    return path.relative_to(house).parts[0].removesuffix(".py")


def against(rank: dict[str, int], room: str, names: set[str], house: str = "vandoc") -> list[str]:
    """The imports of a room of a package that lead to no room before it."""
    rooms = {
        name: name.removeprefix(f"{house}.").split(".")[0] for name in names if name.startswith(f"{house}.")
    }
    return sorted(
        name for name, other in rooms.items() if other in rank and other != room and rank[other] >= rank[room]
    )


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
    assert room == "__init__" or against(RANK, room, imports_of(path)) == []


def test_every_module_of_the_manual_has_a_room():
    house = ROOT / "manual"
    assert {room_of(path, house) for path in house.rglob("*.py")} - {"__init__"} == set(MANUAL_RANK)


@pytest.mark.parametrize(
    "path", sorted((ROOT / "manual").rglob("*.py")), ids=lambda path: str(path.relative_to(ROOT))
)
def test_imports_run_one_way_in_the_manual(path):
    room = room_of(path, ROOT / "manual")
    assert room == "__init__" or against(MANUAL_RANK, room, imports_of(path), "vandoc.manual") == []


def test_an_import_the_wrong_way_is_seen():
    names = {"vandoc.manual.owner.fuses", "vandoc.manual.text", "vandoc.manual.trouble", "vandoc.paper.pdf"}
    assert against(MANUAL_RANK, "trouble", names, "vandoc.manual") == ["vandoc.manual.owner.fuses"]
    assert against(MANUAL_RANK, "page", {"vandoc.manual.book.Book"}, "vandoc.manual") != []
    assert against(RANK, "manual", names) == ["vandoc.paper.pdf"]


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
    if room not in ("manual",):
        assert "PIL" not in tops
    if room not in ("manual",):
        assert "nh3" not in tops
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
        "heavy = ('mkdocs','jinja2','graphviz','segno','markdown','weasyprint','fontTools','PIL','nh3');"
        "print([m for m in heavy if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert out.strip() == "[]"
