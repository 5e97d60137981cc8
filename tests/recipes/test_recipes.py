"""The recipes of DEVELOPERS.md, each carried out exactly as it is written there, in a copy of the sources."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NAME = re.compile(r"^\*\*(An? [^*]+)\.\*\*", re.MULTILINE)
BLOCK = re.compile(r"^```(\w+)(?: (\+ )?(\S+))?\n(.*?)^```$", re.MULTILINE | re.DOTALL)
MUST_BE_RUN = {
    "A rule",
    "A rule in a package of your own",
    "A kind of equipment",
    "A part sheet",
    "A chemistry",
    "A chemistry in a package of your own",
    "A language in a package of your own",
    "A caution",
    "A page",
    "A label sheet or tape",
}


@dataclass
class Recipe:
    """A recipe: its name and its code blocks as (language, whether it is added, path, text)."""

    name: str
    blocks: list[tuple[str, bool, str, str]] = field(default_factory=list)


def recipes() -> Iterator[Recipe]:
    """The recipes that have code blocks."""
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    page = page.partition("\n## How to add\n")[2].partition("\n## ")[0]
    names = list(NAME.finditer(page))
    for number, name in enumerate(names):
        end = names[number + 1].start() if number + 1 < len(names) else len(page)
        found = BLOCK.findall(page[name.end() : end])
        if found:
            blocks = [(kind, bool(added), path, text) for kind, added, path, text in found]
            yield Recipe(name[1], blocks)


RECIPES = list(recipes())
# What `pip install` does to such a folder, without a network: modules on the path, with their entry points.
PIP = """
import sys, tomllib
from pathlib import Path
assert sys.argv[1] == "install", sys.argv
for folder in map(Path, sys.argv[2:]):
    project = tomllib.loads((folder / "pyproject.toml").read_text())["project"]
    info = Path("installed") / f"{project['name'].replace('-', '_')}-{project['version']}.dist-info"
    info.mkdir(parents=True)
    for module in folder.iterdir():
        if module.is_dir():
            module.rename(info.parent / module.name)
    head = f"Metadata-Version: 2.1\\nName: {project['name']}\\nVersion: {project['version']}\\n"
    (info / "METADATA").write_text(head)
    points = project["entry-points"].items()
    lines = [f"[{group}]\\n" + "".join(f"{k} = {v}\\n" for k, v in named.items()) for group, named in points]
    (info / "entry_points.txt").write_text("\\n".join(lines))
"""


@pytest.fixture
def sources(tmp_path: Path) -> Path:
    """A copy of the sources in which commands work as in an activated environment."""
    for name in ("vandoc", "sites"):
        shutil.copytree(ROOT / name, tmp_path / name)  # with what is compiled already
    tools = tmp_path / "bin"
    tools.mkdir()
    (tools / "pip.py").write_text(PIP)
    for name, call in {"vandoc": "-m vandoc", "python": "", "pip": str(tools / "pip.py")}.items():
        (tools / name).write_text(f'#!/bin/sh\nexec "{sys.executable}" {call} "$@"\n')
        (tools / name).chmod(0o755)
    return tmp_path


def write(folder: Path, kind: str, added: bool, path: str, text: str) -> None:
    """Do what a block with a path says."""
    file = folder / path
    if kind == "diff":
        changed = file.read_text("utf-8")
        for part in text.split("@@\n"):
            lines = part.splitlines()
            old = "\n".join(line[1:] for line in lines if line[0] in " -")
            new = "\n".join(line[1:] for line in lines if line[0] in " +")
            assert changed.count(old) == 1, f"{path} has {changed.count(old)} times:\n{old}"
            changed = changed.replace(old, new)
        file.write_text(changed, "utf-8")
    elif added:
        before = file.read_text("utf-8")
        file.write_text(before + text, "utf-8")
    else:
        assert not file.exists(), f"{path} is there already"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, "utf-8")


def run(folder: Path, commands: str) -> str:
    """Run commands in the copy; each must end well."""
    env = os.environ | {
        "PATH": f"{folder / 'bin'}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": f"{folder}{os.pathsep}{folder / 'installed'}",
    }
    done = subprocess.run(["sh", "-ec", commands], cwd=folder, env=env, capture_output=True, text=True)
    assert done.returncode == 0, f"{commands}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda recipe: recipe.name)
def test_a_recipe_does_what_it_says(recipe, sources):
    output = None
    for kind, added, path, text in recipe.blocks:
        if path:
            write(sources, kind, added, path, text)
        elif kind == "sh":
            output = run(sources, text)
        else:
            assert kind == "text"
            assert output is not None, "what is the output of?"
            for line in text.splitlines():
                assert line in output, output
    assert output is not None, "a recipe ends with a command that shows its effect"


def test_no_recipe_is_passed_over():
    assert {recipe.name for recipe in RECIPES} >= MUST_BE_RUN
