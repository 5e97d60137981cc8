"""Battery chemistries as data: a file for each in `kinds/`, its names beside it; packages may add more."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import MappingProxyType

from vandoc.ground.chemistry.reading import read
from vandoc.ground.chemistry.traits import (
    Care,
    Chemistry,
    ColdShare,
    Family,
    Hazard,
    Names,
    PerCell,
    Range,
    RestCurve,
    RestVoltage,
)
from vandoc.ground.extensions import Extension, blamed, extensions
from vandoc.ground.messages import LANGUAGE, Messages, Voice, voice
from vandoc.ground.unknown import WORD as UNKNOWN

say = Messages("vandoc.ground.chemistry", "chemistry").say

__all__ = [
    "Care",
    "Chemistry",
    "ColdShare",
    "Family",
    "Hazard",
    "Names",
    "PerCell",
    "Range",
    "RestCurve",
    "RestVoltage",
    "chemistry_of",
    "known",
    "read",
    "with_chemistry",
]
_added: dict[str, Chemistry] = {}


def known() -> Mapping[str, Chemistry]:
    """Return every chemistry by its key: ours, then those of packages of others.

    Raises
    ------
    ExtensionError
        If a package's file cannot be read, or has the key of a chemistry that exists.
    """
    found = _with(extensions("chemistries"), voice())
    return MappingProxyType({**found, **_added}) if _added else found


def chemistry_of(key: str) -> Chemistry:
    """Return a chemistry by its key in van files; raise ValueError if there is none.

    Examples
    --------
    >>> chemistry_of("LiFePO4").lowest_charging_c.low
    0.0
    """
    if key == UNKNOWN:
        return _unknown(voice())
    found = known()
    if key not in found:
        raise ValueError(f"chemistry must be one of {', '.join(found)}, got {key!r}")
    return found[key]


@cache
def _unknown(words_of: Voice) -> Chemistry:  # noqa: ARG001 (the names differ)
    """Return the chemistry of a battery of which nobody knows it: no trait is known."""
    return read(Path(__file__).with_name("unknown.yml"))


@contextmanager
def with_chemistry(chemistry: Chemistry) -> Iterator[None]:
    """Add a chemistry, inside only.

    Raises
    ------
    ValueError
        If there is one of that key.
    """
    _refuse_taken(chemistry, known())
    _added[chemistry.key] = chemistry
    try:
        yield
    finally:
        del _added[chemistry.key]


@cache
def _with(
    added: tuple[Extension, ...],
    words_of: Voice,  # noqa: ARG001 (the names differ)
) -> Mapping[str, Chemistry]:
    own = (read(file) for file in _files(Path(__file__).parent / "kinds"))
    found = {one.key: one for one in sorted(own, key=lambda one: one.listed)}
    for extension in added:
        folder = extension.folder()
        with blamed(extension.package):
            files = _files(folder)
            if not files:
                raise ValueError(say("no_chemistry", module=extension.module))
            for file in files:
                chemistry = read(file, extension.package)
                _refuse_taken(chemistry, found)
                found[chemistry.key] = chemistry
    return MappingProxyType(found)


def _files(folder: Path) -> list[Path]:
    """Return the data files of a folder: each but those of words."""
    return sorted(file for file in folder.glob("*.yml") if not file.name.endswith(f".{LANGUAGE}.yml"))


def _refuse_taken(chemistry: Chemistry, taken: Mapping[str, Chemistry]) -> None:
    if chemistry.key in taken:
        raise ValueError(say("chemistry_already", key=chemistry.key))
