"""What installed packages of others add: read once from their entry points; they add and never replace.

A package names a module for each thing that it adds in its entry points, in a group such as ``vandoc.rules``.
What the module must hold is for the room that asks for it.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pathlib import Path
from types import ModuleType

from vandoc.ground.errors import ExtensionError
from vandoc.ground.messages import ModuleMessages

say = ModuleMessages(__file__).say

PREFIX = "vandoc."
GROUPS = ("rules", "kinds", "chemistries", "part_sheets", "label_sheets", "languages")
_ignored: ContextVar[bool] = ContextVar("_ignored", default=False)


@dataclass(frozen=True, order=True)
class Package:
    """An installed package of others.

    Examples
    --------
    >>> str(Package("marsh-rules", "1.2"))
    'marsh-rules 1.2'
    """

    name: str
    version: str

    def __str__(self) -> str:
        return f"{self.name} {self.version}"


@dataclass(frozen=True, order=True)
class Extension:
    """One entry point of a package.

    Attributes
    ----------
    package : Package
    group : str
        One of `GROUPS`.
    name, module : str
        Its own name, and the module that it leads to.
    """

    package: Package
    group: str
    name: str
    module: str

    def load(self) -> ModuleType:
        """Import the module.

        Raises
        ------
        ExtensionError
            If that fails for any reason.
        """
        with blamed(self.package):
            return import_module(self.module)

    def folder(self) -> Path:
        """Return the folder of the module's files.

        Raises
        ------
        ExtensionError
            If the module cannot be imported or is not a folder on the disk.
        """
        module = self.load()
        with blamed(self.package):
            folders = [Path(path) for path in getattr(module, "__path__", ()) if Path(path).is_dir()]
            if not folders:
                raise ValueError(say("no_folder", module=self.module))
            return folders[0]


@contextmanager
def blamed(package: Package | None) -> Iterator[None]:
    """Name the package of whatever goes wrong inside; nothing changes if the code is ours (None).

    Raises
    ------
    ExtensionError
        For every error in the package, an attempt to end the process included.
    """
    try:
        yield
    except ExtensionError:
        raise
    except (Exception, SystemExit) as error:
        if package is None:
            raise
        said = str(error) or say("no_reason")
        text = say("package_fails", package=package, name=type(error).__name__, said=said)
        raise ExtensionError(text) from error


def extensions(group: str) -> tuple[Extension, ...]:
    """Return what packages add to a group, by package and name; nothing while they are ignored.

    Raises
    ------
    ExtensionError
        If a package names a group that does not exist.
    """
    return () if _ignored.get() else tuple(one for one in _installed() if one.group == group)


def packages() -> tuple[Package, ...]:
    """Return the packages that add something, by name; none while they are ignored."""
    return () if _ignored.get() else tuple(dict.fromkeys(one.package for one in _installed()))


@contextmanager
def ignored() -> Iterator[None]:
    """Ignore all packages of others inside."""
    token = _ignored.set(True)
    try:
        yield
    finally:
        _ignored.reset(token)


@cache
def _installed() -> tuple[Extension, ...]:
    from importlib.metadata import distributions  # asking for help pays nothing

    found: list[Extension] = []
    seen: set[str] = set()
    for one in distributions():
        text = one.read_text("entry_points.txt") or ""
        if PREFIX not in text:  # nearly all; parsing them takes longer
            continue
        name = one.metadata["Name"]
        if name in seen or name == "vandoc":  # the first on the path is the one that is imported
            continue
        seen.add(name)
        package = Package(name, one.version)
        for point in one.entry_points:
            if not point.group.startswith(PREFIX):
                continue
            group = point.group.removeprefix(PREFIX)
            with blamed(package):
                if group not in GROUPS:
                    known = ", ".join(f"{PREFIX}{known}" for known in GROUPS)
                    raise ValueError(say("no_group", group=point.group, known=known))
                if point.attr:
                    raise ValueError(say("no_module", name=point.name, value=point.value))
            found.append(Extension(package, group, point.name, point.module))
    return tuple(sorted(found))
