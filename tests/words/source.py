"""Texts in code and data: strings that somebody may read, docstrings, and the words of the tables."""

import ast
import csv
import re
from collections.abc import Iterator
from functools import cache

from tests.words.sentences import VALUE, without_markdown
from tests.words.texts import PROJECT, ROOT, Text

MODULES = sorted(ROOT.rglob("*.py"))
FEWEST_WORDS = 3  # a shorter string is a key, a unit or a name
_CODE = re.compile(r"[<>{}\\;=]|\(\?|--|/\w+/|^\S*$")
_SECTIONS = "Attributes|Examples|Notes|Parameters|Raises|Returns|Yields"


def _string(node: ast.expr) -> str | None:
    """A literal, or a literal with values in it."""
    match node:
        case ast.Constant(value=str(value)):
            return value
        case ast.JoinedStr(values=parts):
            return "".join(str(part.value) if isinstance(part, ast.Constant) else VALUE for part in parts)
    return None


def _docstring(node: ast.AST) -> str | None:
    return ast.get_docstring(node) if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) else None


def strings(source: str) -> Iterator[tuple[int, str]]:
    """The line and the words of each string of a module that reads as prose; no docstring."""
    nodes = list(ast.walk(ast.parse(source)))
    parts = {id(part) for node in nodes if isinstance(node, ast.JoinedStr) for part in node.values}
    parts |= {id(node.value) for node in nodes if isinstance(node, ast.Expr)}
    for node in nodes:
        text = _string(node) if isinstance(node, ast.expr) and id(node) not in parts else None
        if text and not _CODE.search(text) and len(re.findall(r"[a-z]{2,}", text)) >= FEWEST_WORDS:
            yield node.lineno, re.sub(r"^[a-z]+(?= must )", VALUE, text)  # a parameter


@cache
def code_texts() -> tuple[Text, ...]:
    """The strings in code: errors above all. The names of constants are keys."""
    rows = (ROOT / "ground" / "data" / "constants.csv").read_text("utf-8").splitlines()
    keys = {row.partition(",")[0] for row in rows}
    return tuple(
        Text(f"{path.relative_to(PROJECT)}:{line}", "installer", words)
        for path in MODULES
        for line, words in strings(path.read_text("utf-8"))
        if words not in keys
    )


def prose_of(docstring: str) -> str:
    """A docstring without its examples, the headings of its sections, names with their types, and units."""
    text = re.sub(r"^>>>.*?(?=^\s*$|\Z)", "", docstring, flags=re.DOTALL | re.MULTILINE)
    text = re.sub(rf"^(?:{_SECTIONS})\n-+$|^\S.* : .*$|\[[^\]\n]*\]", "", text, flags=re.MULTILINE)
    text = re.sub(r"^\S.*\n(?= {4}\S)", "\n", text, flags=re.MULTILINE)
    text = re.sub(r"^ +", "", text, flags=re.MULTILINE)
    return "\n".join(without_markdown(block) for block in re.split(r"\n\s*\n", text))


@cache
def docstrings() -> tuple[Text, ...]:
    """The docstring of every public module, class and function."""
    return tuple(
        Text(f"{path.relative_to(PROJECT)}:{getattr(node, 'lineno', 1)}", "maintainer", prose_of(docstring))
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if (docstring := _docstring(node)) and not getattr(node, "name", "").startswith("_")
    )


@cache
def data_texts() -> tuple[Text, ...]:
    """The words of the tables: where a figure comes from and under which conditions it holds."""
    found = []
    for path in sorted((ROOT / "ground" / "data").glob("*.csv")):
        lines = path.read_text("utf-8").splitlines()
        head = [line.removeprefix("# ").partition(": ")[2] for line in lines if line.startswith("#")]
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        cells = [cell for row in rows for key, cell in row.items() if key != "name" and cell and " " in cell]
        found += [Text(path.name, "electrician", words) for words in dict.fromkeys((*head, *cells))]
    for path in sorted((ROOT / "ground" / "chemistry" / "kinds").glob("*.yml")):
        sources = re.findall(r'source: "?([^"}\n]+)|# (.+)', path.read_text("utf-8"))
        words = dict.fromkeys(source or comment for source, comment in sources)
        found += [Text(path.name, "electrician", one) for one in words if " " in one]
    return tuple(found)
