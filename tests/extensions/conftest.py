"""Packages of others, made on the fly: modules and the metadata of an installed package, on the path."""

import importlib
import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import ModuleType

import pytest

from vandoc.ground import chemistry, extensions, languages
from vandoc.judgement.checks import rule

LABELS = importlib.import_module("vandoc.paper.labels.sheets")

Install = Callable[..., Path]


def write_package(
    folder: Path, name: str, version: str, points: Mapping[str, str], contents: Mapping[str, str]
) -> Path:
    """Write what an installer would have written: `points` are modules by group."""
    for path, text in contents.items():
        file = folder / path
        file.parent.mkdir(parents=True, exist_ok=True)
        (file.parent / "__init__.py").touch()
        file.write_text(text, "utf-8")
    info = folder / f"{name.replace('-', '_')}-{version}.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n")
    lines = [f"[{group}]\n{name} = {module}\n" for group, module in points.items()]
    (info / "entry_points.txt").write_text("\n".join(lines))
    return folder


def _in(module: ModuleType, folder: Path) -> bool:
    places = [getattr(module, "__file__", None), *getattr(module, "__path__", ())]
    return any(place and Path(place).is_relative_to(folder) for place in places)


@pytest.fixture
def install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Install]:
    """Install packages for one test; the argument is as that of :func:`write_package`."""
    before = set(sys.modules)

    def put(name: str, version: str, points: Mapping[str, str], contents: Mapping[str, str]) -> Path:
        folder = write_package(tmp_path / "installed" / name, name, version, points, contents)
        monkeypatch.syspath_prepend(folder)
        extensions._installed.cache_clear()
        return folder

    yield put
    for cached in (
        extensions._installed,
        chemistry._with,
        rule._registered_with,
        rule._rules_with,
        LABELS._sheets_with,
        languages._read,
    ):
        cached.cache_clear()
    gone = {name for name in set(sys.modules) - before if _in(sys.modules[name], tmp_path)}
    for name in gone:
        del sys.modules[name]
    for check in [check for check in rule._registered if check.__module__ in gone]:
        del rule._registered[check]
