"""Every public calculation says what it takes and shows an example: what a reviewer checks against a book."""

import importlib
import inspect
import pkgutil
import re

import pytest

import vandoc.ground.calc

MODULES = [
    f"vandoc.ground.calc.{module.name}" for module in pkgutil.iter_modules(vandoc.ground.calc.__path__)
]
FUNCTIONS = [
    pytest.param(function, id=f"{name.rpartition('.')[2]}.{function.__name__}")
    for name in MODULES
    if not name.endswith(".require")
    for function in vars(importlib.import_module(name)).values()
    if inspect.isfunction(function) and function.__module__ == name and not function.__name__.startswith("_")
]


def section(docstring: str, title: str) -> str:
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w[\w ]*\n-+\n|\Z)", docstring, re.MULTILINE | re.DOTALL)
    return found[1] if found else ""


@pytest.mark.parametrize("function", FUNCTIONS)
def test_docstring_matches_the_signature(function):
    docstring = inspect.getdoc(function)
    names = [
        name.strip()
        for line in section(docstring, "Parameters").splitlines()
        if re.match(r"\w[\w, ]* : ", line)
        for name in line.partition(" : ")[0].split(",")
    ]
    if names or "Returns" in docstring:
        assert names == list(inspect.signature(function).parameters)
    assert ">>> " in section(docstring, "Examples")


@pytest.mark.parametrize("function", FUNCTIONS)
def test_numbers_have_a_unit_and_formulas_a_source(function):
    docstring = inspect.getdoc(function)
    lines = section(docstring, "Parameters")
    for number in re.findall(r"^\w+ : (?:float|int)\b.*\n((?:    .*\n?)+)", lines, re.MULTILINE):
        assert "[" in number
    if section(docstring, "Returns").startswith("float"):
        assert "[" in section(docstring, "Returns")
        assert ".. [1]" in section(docstring, "References")
