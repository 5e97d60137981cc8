"""Words: one reader for all, files that hold words alone, and none asked for that is not there."""

import ast
import importlib
import string
from pathlib import Path
from typing import Any

import pytest
import yaml

import vandoc
from vandoc.ground.messages import LANGUAGE, Messages, beside, catalogues

ROOT = Path(vandoc.__file__).parent
FILES = sorted(catalogues().values())
NUMBERS = {"lines", "widths", "keys"}  # of the survey sheet's tables: how they are laid out


def tree_of(path: Path) -> Any:
    beside_code = path.name.endswith(f".{LANGUAGE}.yml")
    return beside(path.with_name(path.name.split(".")[0] + ".py")) if beside_code else messages_of(path).tree


def messages_of(path: Path) -> Messages:
    folder = next(parent for parent in path.parents if parent.name == LANGUAGE)
    name = path.relative_to(folder).with_suffix("").as_posix()
    return Messages(".".join(("vandoc", *folder.parents[1].relative_to(ROOT).parts)), name)


@pytest.fixture
def words(tmp_path, monkeypatch) -> Messages:
    """The one message file of a package of its own."""
    folder = tmp_path / "speaking" / "messages" / LANGUAGE
    folder.mkdir(parents=True)
    (tmp_path / "speaking" / "__init__.py").touch()
    text = 'and: " and "\nfuse: {title: "{name}: {rating}", kinds: [blade, strip]}\n'
    text += 'left: {one: "{count} fuse left", other: "{count} fuses left"}\n'
    (folder / "all.yml").write_text(text)
    monkeypatch.syspath_prepend(tmp_path)
    return Messages("speaking", "all")


def test_a_wording_is_filled_in_with_text_that_is_no_pattern(words):
    assert words.say("fuse.title", name="{rating} {0.__class__}", rating=10) == "{rating} {0.__class__}: 10"
    assert words.say("and") == " and "
    assert words["fuse.kinds"] == ["blade", "strip"]


@pytest.mark.parametrize(("count", "said"), [(1, "1 fuse left"), (2, "2 fuses left"), (0, "0 fuses left")])
def test_a_wording_takes_the_plural_of_its_count(words, count, said):
    assert words.say("left", count=count) == said


@pytest.mark.parametrize(
    ("key", "values", "reason"),
    [
        ("fuse.colour", {}, "there is no 'fuse.colour'"),
        ("fuse.title.more", {}, "there is no 'fuse.title.more'"),
        ("fuse.kinds", {}, "'fuse.kinds' is not a wording"),
        ("fuse", {}, "'fuse' is not a wording"),
        ("left", {}, "'left' is not a wording"),
        ("fuse.title", {"name": "pump"}, "'fuse.title' asks for {rating}"),
    ],
)
def test_a_missing_wording_is_named_with_its_file(words, key, values, reason):
    with pytest.raises(LookupError) as error:
        words.say(key, **values)
    assert str(error.value) == f"speaking/messages/{LANGUAGE}/all.yml: {reason}"


def test_a_file_is_read_once(words, tmp_path):
    assert words.say("and") == " and "
    (tmp_path / "speaking" / "messages" / LANGUAGE / "all.yml").unlink()
    assert words["fuse.kinds"] == ["blade", "strip"]


def leaves(node: Any, trail: tuple[str, ...] = ()):
    if isinstance(node, dict):
        for key, value in node.items():
            assert isinstance(key, str), (trail, key)  # `yes` and `on` are words here
            assert "." not in key, (trail, key)
            yield from leaves(value, (*trail, key))
    elif isinstance(node, list):
        for value in node:
            yield from leaves(value, trail)
    else:
        yield trail, node


def test_the_message_files_are_found():
    assert len(FILES) > 30
    assert all(path.suffix == ".yml" for path in ROOT.rglob("messages/*/**/*.*"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_message_file_holds_words_that_can_be_filled_in(path):
    found = list(leaves(tree_of(path)))
    assert found
    for trail, text in found:
        if not NUMBERS & set(trail):
            assert isinstance(text, str), trail
            assert all(name != "" for _, name, _, _ in string.Formatter().parse(text)), trail


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_key_of_a_message_file_comes_twice(path):
    def walk(node: yaml.Node) -> None:
        if isinstance(node, yaml.MappingNode):
            keys = [key.value for key, _ in node.value]
            assert len(set(keys)) == len(keys), keys
        for child in node.value if isinstance(node.value, list) else ():
            for part in child if isinstance(child, tuple) else (child,):
                walk(part)

    walk(yaml.compose(path.read_text("utf-8")))


def said_by(path: Path):
    """Yield the wordings that a module asks for by a literal key: messages, key, names filled in or None."""
    name = ".".join(("vandoc", *path.relative_to(ROOT).with_suffix("").parts)).removesuffix(".__init__")
    tree = ast.parse(path.read_text("utf-8"))
    known = dict(vars(importlib.import_module(name)))
    for node in ast.walk(tree):  # what a command imports when it runs
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("vandoc"):
            source = importlib.import_module(node.module)
            for alias in node.names:
                known.setdefault(alias.asname or alias.name, getattr(source, alias.name, None))
    for node in ast.walk(tree):
        match node:
            case ast.Call(func=ast.Name(id=called), args=[ast.Constant(value=str(key))]):
                spoken = known.get(called)
            case ast.Call(
                func=ast.Attribute(value=ast.Name(id=called), attr="say"), args=[ast.Constant(value=str(key))]
            ):
                spoken = getattr(known.get(called), "say", None)
            case _:
                continue
        owner = getattr(spoken, "__self__", None)
        if isinstance(owner, Messages):
            names = {keyword.arg for keyword in node.keywords}
            yield owner, key, None if None in names else names


def test_every_wording_that_the_code_asks_for_is_there_and_gets_its_values():
    asked = [
        entry for path in sorted(ROOT.rglob("*.py")) if path.stem != "__main__" for entry in said_by(path)
    ]
    assert len(asked) > 300
    assert len({str(owner) for owner, _, _ in asked}) >= 9
    for owner, key, names in asked:
        wanted = {name for _, name, _, _ in string.Formatter().parse(owner[key]) if name}
        assert names is None or wanted <= names, f"{owner}: {key}"
