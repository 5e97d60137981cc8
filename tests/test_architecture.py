"""Storeys hold rooms; imports run one way, by a list of what each may import, other packages included."""

import ast
import subprocess
import sys
from collections.abc import Set
from functools import cache
from pathlib import Path

import yaml

import vandoc

ROOT = Path(vandoc.__file__).parent
# A storey may import those before it; what a room may import is in the list beside this file.
STOREYS = ("ground", "model", "reading", "physics", "analysis", "judgement", "pages", "paper", "doors")
WHOLE = ("model", "paper")  # storeys of a single room
ALLOWED = yaml.safe_load(Path(__file__).with_name("architecture.yml").read_text("utf-8"))
# The same inside the manual: what all its pages share, fault-finding, each reader's pages, what joins them.
MANUAL = yaml.safe_load(Path(__file__).with_name("architecture_manual.yml").read_text("utf-8"))
MANUAL_RANK = {room: rank for rank, rooms in enumerate(MANUAL) for room in rooms}
# Words are read by `messages.py`, van files by `yamltree.py`; the others read settings and a seal.
YAML_READERS = {"ground/messages.py", "ground/chemistry/reading.py", "reading/yamltree.py"}
YAML_READERS |= {"pages/manual/settings.py", "doors/publish.py"}
MODULES = sorted(ROOT.rglob("*.py"))
INSIDE = [path for path in MODULES if len(path.relative_to(ROOT).parts) > 1]


def named(path: Path) -> str:
    return str(path.relative_to(ROOT))


def room_of(parts: tuple[str, ...]) -> str:
    """The room of a module or of an imported name, by its steps below the package."""
    if parts[0] in WHOLE or len(parts) == 1:
        return parts[0]
    place = ROOT.joinpath(*parts[:2])
    return "/".join(parts[:2]) if place.is_dir() or place.with_suffix(".py").exists() else parts[0]


def home(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return room_of(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def imports_of(path: Path) -> frozenset[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
    return frozenset(found)


def rooms_in(names: Set[str]) -> set[str]:
    """The rooms of ours that imported names lead to; of bare storeys only those that offer names count."""
    steps = [tuple(name.split(".")[1:]) for name in names if name.startswith("vandoc.")]
    found = {room_of(parts) for parts in steps if parts[0] in STOREYS}
    return {room for room in found if room not in STOREYS or room in WHOLE or room == "analysis"}


def others_in(names: Set[str]) -> set[str]:
    return {name.split(".")[0] for name in names} - {"vandoc"} - sys.stdlib_module_names


def storey_of(room: str) -> int:
    return STOREYS.index(room.split("/")[0])


def test_every_room_is_on_the_list_and_no_other():
    assert {home(path) for path in INSIDE} - set(STOREYS) == set(ALLOWED) - set(STOREYS)


def test_the_list_itself_runs_one_way():
    for room, allowed in ALLOWED.items():
        for other in allowed.get("rooms", []):
            assert storey_of(other) <= storey_of(room), (room, other)
    order: list[str] = []
    waiting = {room: set(allowed.get("rooms", [])) - {room} for room, allowed in ALLOWED.items()}
    while waiting:  # a circle would never empty
        free = [room for room, needs in waiting.items() if not needs - set(order)]
        assert free, f"rooms import each other in a circle: {sorted(waiting)}"
        order += free
        for room in free:
            del waiting[room]


def test_a_room_imports_only_what_it_may():
    wrong = {}
    for path in INSIDE:
        room, names = home(path), imports_of(path)
        allowed = ALLOWED.get(room, {})
        rooms = rooms_in(names) - {room} - set(allowed.get("rooms", []))
        if found := rooms | others_in(names) - set(allowed.get("packages", [])):
            wrong[named(path)] = found
    assert wrong == {}


def test_nothing_on_the_list_is_left_over():
    used: dict[str, tuple[set[str], set[str]]] = {room: (set(), set()) for room in ALLOWED}
    for path in INSIDE:
        rooms, packages = used.get(home(path), (set(), set()))
        rooms |= rooms_in(imports_of(path))
        packages |= others_in(imports_of(path))
    for room, (rooms, packages) in used.items():
        assert set(ALLOWED[room].get("rooms", [])) <= rooms, room
        assert set(ALLOWED[room].get("packages", [])) <= packages, room


def test_an_import_the_wrong_way_is_seen():
    names = {"vandoc.pages.manual.text", "vandoc.ground.calc.drop", "click", "json"}
    assert rooms_in(names) == {"pages/manual", "ground/calc"}
    assert others_in(names) == {"click"}
    assert "pages/manual" not in ALLOWED["judgement/checks"]["rooms"]


def test_imports_run_one_way_in_the_manual():
    wrong = {}
    house = "vandoc.pages.manual."
    for path in sorted((ROOT / "pages/manual").rglob("*.py")):
        room = path.relative_to(ROOT / "pages/manual").parts[0].removesuffix(".py")
        if room == "__init__":
            continue
        names = imports_of(path)
        others = {name.removeprefix(house).split(".")[0] for name in names if name.startswith(house)}
        later = {other for other in others & set(MANUAL_RANK) if MANUAL_RANK[other] >= MANUAL_RANK[room]}
        if later - {room}:
            wrong[named(path)] = later
    assert wrong == {}


def test_yaml_is_read_in_few_places():
    readers = {path for path in MODULES if {"yaml", "tomllib"} & packages_of(path)}
    assert {path.relative_to(ROOT).as_posix() for path in readers} <= YAML_READERS


def packages_of(path: Path) -> set[str]:
    return {name.split(".")[0] for name in imports_of(path)}


def test_modules_stay_readable():
    lines = {named(path): len(path.read_text("utf-8").splitlines()) for path in MODULES}
    assert {name: count for name, count in lines.items() if count > 400} == {}


def test_a_check_does_not_pay_for_the_site():
    """`vandoc check` must not load MkDocs, Jinja, Graphviz or the numeric libraries."""
    code = (
        "import sys; sys.modules.update(numpy=None, scipy=None);"  # pint loads them where they are installed
        "import vandoc.doors.cli, vandoc.doors.build;"
        "heavy = ('mkdocs','jinja2','graphviz','segno','markdown','weasyprint','fontTools','PIL');"
        "print([m for m in heavy if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert out.strip() == "[]"


def test_the_list_of_commands_does_not_pay_for_the_model():
    """`vandoc --help`, and each command before it knows what it needs, loads no model."""
    code = (
        "import sys, vandoc.doors.cli;"
        "print([m for m in ('pydantic', 'pint', 'ruamel', 'vandoc.model') if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert out.strip() == "[]"
