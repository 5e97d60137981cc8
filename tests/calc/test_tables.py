"""The published tables as files: complete heads, typed rows, no number outside them."""

import ast
import re
import sys
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

import pytest

import vandoc
import vandoc.ground.calc
from vandoc.ground.data import Constant, constant, parse, rows

DATA = sorted(
    path.name.removesuffix(".csv")
    for path in files("vandoc.ground.data").iterdir()
    if path.name.endswith(".csv")
)
HEAD = "# source: a standard\n# edition: 1\n# conditions: none\n# read: {read}\n"


OURS = ("vandoc.ground.calc", "vandoc.ground.chemistry", "vandoc.ground.data")


@dataclass(frozen=True)
class Row:
    name: str
    value: float
    limit: float | None
    source: str
    from_memory: bool


def table(body: str, read: str = "in print") -> tuple[Row, ...]:
    return parse("sample", HEAD.format(read=read) + body, Row)


def test_source_and_memory_come_from_the_head_or_from_columns():
    (row,) = table("name,value,limit\na,1.5,\n", read="from memory")
    assert row == Row("a", 1.5, None, "a standard", True)
    (row,) = table("name,value,limit,source,memory\na,1.5,2,another,no\n", read="see rows")
    assert row == Row("a", 1.5, 2.0, "another", False)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "sample.csv:1"),
        ("# source: x\nname,value,limit\n", "sample.csv:2"),
        ("# source:\n", "sample.csv:1"),
        (HEAD.format(read="perhaps") + "name,value,limit\n", "read one of"),
        (HEAD.format(read="see rows") + "name,value,limit\na,1,\n", "no column memory"),
        (HEAD.format(read="in print"), "the columns are"),
        (HEAD.format(read="in print") + "name,value\n", "the columns are"),
        (HEAD.format(read="in print") + "name,value,limit,extra\n", "the columns are"),
        (HEAD.format(read="in print") + "name,value,limit,limit\n", "the columns are"),
        (HEAD.format(read="in print") + "name,value,limit\na,1\n", "sample.csv:6: 2 cells"),
        (HEAD.format(read="in print") + "name,value,limit\na,1,2\nb,x,2\n", "sample.csv:7: column 'value'"),
        (HEAD.format(read="in print") + "name,value,limit\na,nan,2\n", "'nan' is not a float"),
        (HEAD.format(read="in print") + "name,value,limit\na,inf,2\n", "'inf' is not a float"),
        (HEAD.format(read="in print") + "name,value,limit\na,,2\n", "'' is not a float"),
        (HEAD.format(read="in print") + "name,value,limit\n,1,2\n", "'' is not a str"),
        (HEAD.format(read="see rows") + "name,value,limit,memory\na,1,2,maybe\n", "'maybe' is not a bool"),
    ],
)
def test_malformed_table_is_refused_with_its_line(text, said):
    with pytest.raises(ValueError, match=r"^sample\.csv:\d") as error:
        parse("sample", text, Row)
    assert said in str(error.value)


@pytest.mark.parametrize("name", DATA)
def test_every_table_says_where_it_comes_from(name):
    lines = files("vandoc.ground.data").joinpath(f"{name}.csv").read_text("utf-8").splitlines()
    keys = [line.removeprefix("# ").partition(":")[0] for line in lines[:4]]
    assert keys == ["source", "edition", "conditions", "read"]
    columns = lines[4].split(",")
    if "see rows" in lines[0]:
        assert "source" in columns
    if "see rows" in lines[3]:
        assert "memory" in columns


def test_every_constant_that_code_names_is_there():
    code = "\n".join(path.read_text("utf-8") for path in Path(vandoc.__path__[0]).rglob("*.py"))
    for name in re.findall(r'\bconstant\("([^"]+)"\)', code):
        assert constant(name).name == name
    assert len({entry.name for entry in rows("constants", Constant)}) == len(rows("constants", Constant))
    with pytest.raises(KeyError):
        constant("no such figure")


def test_calculations_import_only_tables_and_the_standard_library():
    for path in Path(vandoc.ground.calc.__path__[0]).glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            for name in names:
                known = name.split(".")[0] in sys.stdlib_module_names
                assert known or name.startswith(OURS), f"{path.name} imports {name}"
