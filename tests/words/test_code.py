"""Code holds no sentences: each string that reads like words for people stands in a catalogue.

Passed over are docstrings, codes that a type names (`Literal`, `Enum`), names of constants in the tables, and
what `code_texts.yml` lists with a reason.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.words.rules import read_yaml
from tests.words.texts import ROOT

ALLOWED = read_yaml(Path(__file__).with_name("code_texts.yml"))
MODULES = sorted(ROOT.rglob("*.py"))
FIELD = "X"
"""What stands for a value that is filled in."""
PHRASE = re.compile(r"[A-Za-z’']{2,}[,:;]? [a-z]{2,}|\bX [a-z]{2,}(?= |$)|[a-z]{2,},? X\b|^[;:] [a-z]")
LOOKED_UP = {"constant", "_constant", "_stated"}
"""Functions whose argument is the name of a row in a table."""


def shown(node: ast.AST) -> str | None:
    """What a string says, with `X` for each value; None if it is no string."""
    match node:
        case ast.Constant(value=str(text)):
            return text
        case ast.JoinedStr(values=parts):
            return "".join(shown(part) or FIELD for part in parts)
    return None


@cache
def codes() -> frozenset[str]:
    """Every value of a `Literal` or an `Enum`: a name that code compares, and nobody reads."""
    found = set()
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            match node:
                case ast.Subscript(value=ast.Name(id="Literal"), slice=values):
                    found |= {part.value for part in ast.walk(values) if isinstance(part, ast.Constant)}
                case ast.ClassDef(bases=bases, body=body) if any(
                    "Enum" in ast.unparse(base) for base in bases
                ):
                    found |= {
                        part.value.value
                        for part in body
                        if isinstance(part, ast.Assign) and isinstance(part.value, ast.Constant)
                    }
    return frozenset(one for one in found if isinstance(one, str))


def strings(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield the line and the words of each string that is no docstring and no name that is looked up."""
    match tree:
        case ast.Expr(value=ast.Constant()):
            return
        case ast.Call(func=ast.Name(id=name)) if name in LOOKED_UP:
            return
        case ast.Constant() | ast.JoinedStr() if (text := shown(tree)) is not None:
            yield tree.lineno, text
            parts = tree.values if isinstance(tree, ast.JoinedStr) else []
            for part in parts:
                if isinstance(part, ast.FormattedValue):
                    yield from strings(part.value)
            return
    for child in ast.iter_child_nodes(tree):
        yield from strings(child)


def phrases(source: str) -> list[str]:
    """The strings of a module that read like words for people."""
    found = strings(ast.parse(source))
    return [f"{line}: {text}" for line, text in found if text not in codes() and PHRASE.search(text)]


def said_by(path: Path) -> list[str]:
    """The same without their lines."""
    return [one.partition(": ")[2] for one in phrases(path.read_text("utf-8"))]


def allowed(path: Path) -> list[re.Pattern[str]]:
    """What a module may say: by the longest place in the list that fits, and those above it."""
    place = path.relative_to(ROOT).as_posix()
    return [
        re.compile(pattern)
        for entry in ALLOWED
        if any(place.startswith(one) for one in entry["in"])
        for pattern in entry["like"]
    ]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_a_module_holds_no_words_for_people(path):
    own = allowed(path)
    found = phrases(path.read_text("utf-8"))
    assert [one for one in found if not any(pattern.search(one.partition(": ")[2]) for pattern in own)] == []


def test_every_entry_of_the_list_is_needed_and_says_why():
    said = {
        path.relative_to(ROOT).as_posix(): [
            one.partition(": ")[2] for one in phrases(path.read_text("utf-8"))
        ]
        for path in MODULES
    }
    for entry in ALLOWED:
        assert len(entry["why"]) > 20, entry
        for place in entry["in"]:
            texts = [text for path, found in said.items() if path.startswith(place) for text in found]
            assert any(re.search(pattern, text) for pattern in entry["like"] for text in texts), place
        for pattern in entry["like"]:
            texts = [
                text for path, found in said.items() if path.startswith(tuple(entry["in"])) for text in found
            ]
            assert any(re.search(pattern, text) for text in texts), pattern


@pytest.mark.parametrize(
    "source",
    [
        'raise ValueError("the fuse is too large")',
        'say(f"{name} is missing")',
        'x = "; did you mean"',
        'x = f"{a} to {b}"',
        "x = f\"{f('no such thing')}\"",
        '@option(help="Output folder.")\ndef f(): ...',
    ],
)
def test_words_in_code_are_seen(source):
    assert phrases(source)


@pytest.mark.parametrize(
    "source",
    [
        'def f():\n    """Say the whole sentence."""',
        'constant("voltage drop")',
        'x = "voltage-drop"',
        'x = ", "',
    ],
)
def test_what_is_no_text_is_passed_over(source):
    assert phrases(source) == []
