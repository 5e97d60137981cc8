"""The kinds of equipment: a module for each, its words beside it; each is found without being registered."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from importlib import import_module
from inspect import getmembers, isclass
from pkgutil import iter_modules
from types import ModuleType
from typing import Annotated, Any, Union

from pydantic import Field, GetCoreSchemaHandler
from pydantic_core import CoreSchema

from vandoc.ground.extensions import Package, blamed, extensions
from vandoc.ground.messages import Messages
from vandoc.model.piece import Piece

say = Messages("vandoc.model", "faults").say

_added: dict[str, type[Piece]] = {}
_theirs: dict[type[Piece], Package] = {}
_when_changed: list[Callable[[], None]] = []


def kinds_in(module: ModuleType) -> Iterator[type[Piece]]:
    """Yield the kinds that a module defines: its classes of equipment with a field `kind`."""
    for _, found in getmembers(module, isclass):
        if found.__module__ == module.__name__ and issubclass(found, Piece) and "kind" in found.model_fields:
            yield found


@cache
def _own() -> dict[str, type[Piece]]:
    modules = (import_module(f"{__name__}.{one.name}") for one in iter_modules(__path__))
    found = sorted((kind for module in modules for kind in kinds_in(module)), key=lambda kind: kind.listed)
    return {kind.kind_name(): kind for kind in found}


def kinds() -> dict[str, type[Piece]]:
    """Return all kinds by name: ours, then those that others added."""
    return _own() | _added


def register(kind: type[Piece]) -> None:
    """Add a kind of others; van files may name it from then on.

    Raises
    ------
    ValueError
        If there is a kind of that name.
    LookupError
        If its words file is missing or has no name.
    """
    name = kind.kind_name()
    if name in kinds():
        raise ValueError(say("kinds.kind_taken", name=name))
    if "name" not in (kind.words() or {}):
        raise LookupError(f"{kind.__name__}: 'name' is missing in its words")
    _added[name] = kind
    _changed()


def unregister(kind: type[Piece]) -> None:
    """Take out a kind that was added."""
    del _added[kind.kind_name()]
    _changed()


def follow_packages() -> None:
    """Add the kinds of installed packages; take out those of packages that are ignored now.

    Raises
    ------
    ExtensionError
        If a package's module cannot be imported, holds no kind, or names one that exists.
    """
    wanted: dict[type[Piece], Package] = {}
    for extension in extensions("kinds"):
        module = extension.load()
        with blamed(extension.package):
            found = tuple(kinds_in(module))
            if not found:
                raise ValueError(say("kinds.no_kind", module=extension.module))
        wanted |= dict.fromkeys(found, extension.package)
    for kind in _theirs.keys() - wanted.keys():
        del _theirs[kind]
        unregister(kind)
    for kind, package in wanted.items():
        if kind not in _theirs:
            with blamed(package):
                register(kind)
            _theirs[kind] = package


def package_of(kind: type[Piece]) -> Package | None:
    """Return the package of others that added a kind; None for a kind of vandoc."""
    return _theirs.get(kind)


@contextmanager
def with_kind(kind: type[Piece]) -> Iterator[None]:
    """Add a kind, inside only."""
    register(kind)
    try:
        yield
    finally:
        unregister(kind)


def when_changed(function: Callable[[], None]) -> Callable[[], None]:
    """Call a function whenever a kind is added or taken out."""
    _when_changed.append(function)
    return function


def _changed() -> None:
    for function in _when_changed:
        function()


class _AnyKind:
    """Field metadata: an item of any kind that is known when the schema is built."""

    def __get_pydantic_core_schema__(self, _source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        union = Union[tuple(kinds().values())]  # type: ignore[valid-type]  # noqa: UP007 - made at run time
        return handler.generate_schema(Annotated[union, Field(discriminator="kind")])


Equipment = Annotated[Piece, _AnyKind()]
