"""A chemistry from its data file, with its words beside it."""

import types
from collections.abc import Mapping
from dataclasses import fields
from math import isfinite
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import yaml

from vandoc.ground.chemistry.traits import Chemistry, ColdShare, Names, PerCell, Range, RestCurve, RestVoltage
from vandoc.ground.extensions import Package
from vandoc.ground.messages import Messages, beside

say = Messages("vandoc.ground.chemistry", "chemistry").say

ELSEWHERE = ("names", "package")
_HINTS = get_type_hints(Chemistry)


def read(file: Path, package: Package | None = None) -> Chemistry:
    """Read a chemistry from a YAML file.

    Each key is a trait of :class:`Chemistry`; one that is left out is not known. A figure is
    ``{low: 0.1, high: 0.2, source: ..., memory: true}``, with ``cells`` where it is proportional to them.

    Parameters
    ----------
    file : Path
        ``<name>.yml``; ``<name>.en.yml`` beside it holds the names.
    package : Package, optional
        The package of others that it comes from.

    Raises
    ------
    ValueError
        If the file cannot be read as such; the message begins with its name.
    LookupError
        If its names are missing.
    """
    try:
        stated = yaml.load(file.read_text("utf-8"), getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    except yaml.YAMLError as error:
        raise ValueError(f"{file.name}: {error}") from error
    known = {one.name for one in fields(Chemistry)} - set(ELSEWHERE)
    if not isinstance(stated, dict) or set(stated) - known:
        extra = (
            ", ".join(sorted(map(str, set(stated) - known))) if isinstance(stated, dict) else say("no_traits")
        )
        raise ValueError(say("not_traits_chemistry", name=file.name, extra=extra))
    if not isinstance(stated.get("key"), str) or not stated["key"]:
        raise ValueError(say("key_missing", name=file.name))
    values = {name: _value(f"{file.name}: {name}", _HINTS[name], value) for name, value in stated.items()}
    return Chemistry(names=_names(file), package=package, **values)


def _names(file: Path) -> Names:
    words = beside(file)
    wanted = [one.name for one in fields(Names)]
    if not isinstance(words, dict) or sorted(words) != sorted(wanted):
        raise LookupError(say("words_are", stem=file.stem, wanted=", ".join(wanted)))
    return Names(**{name: str(words[name]) for name in wanted})


def _value(where: str, hint: Any, value: Any) -> Any:
    """Return a value as a field's type asks; raise ValueError if it is not."""
    if get_origin(hint) in (Union, types.UnionType):
        if value is None:
            return None
        (hint,) = (kind for kind in get_args(hint) if kind is not type(None))
    if get_origin(hint) is Literal:
        if value in get_args(hint):
            return value
        raise ValueError(say("not", where=where, value=value, hint=", ".join(get_args(hint))))
    if hint is bool or hint is str:
        if isinstance(value, hint):
            return value
        raise ValueError(say("not_true_or_false" if hint is bool else "not_text", where=where, value=value))
    if hint is float:
        return _number(where, value)
    if hint in (Range, PerCell):
        return _range(where, hint, value)
    if hint is RestCurve:
        return _rest(where, value)
    if hint == tuple[ColdShare, ...]:
        return tuple(_cold(where, row) for row in _list(where, value))
    if hint == tuple[float, ...]:
        return tuple(_number(where, one) for one in _list(where, value))
    if get_origin(hint) is Mapping:
        volts = _table(where, value, None)
        return {_number(where, label): _counts(where, cells) for label, cells in volts.items()}
    raise AssertionError(f"{where}: no reader for {hint}")


def _number(where: str, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise ValueError(say("not_number", where=where, value=value))
    return float(value)


def _count(where: str, value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise ValueError(say("not_number_cells", where=where, value=value))
    return value


def _counts(where: str, value: Any) -> tuple[int, int]:
    counts = [_count(where, one) for one in (value if isinstance(value, list) else [value])]
    if not counts:
        raise ValueError(say("not_number_cells", where=where, value=value))
    return min(counts), max(counts)


def _list(where: str, value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise ValueError(say("list_needed", where=where))
    return value


def _table(where: str, value: Any, wanted: set[str] | None) -> dict[Any, Any]:
    if not isinstance(value, dict) or (wanted is not None and set(value) != wanted):
        if wanted:
            raise ValueError(say("table_with", where=where, keys=", ".join(sorted(wanted))))
        raise ValueError(say("table_needed", where=where))
    return value


def _whence(where: str, row: dict[str, Any]) -> tuple[str, bool]:
    if not isinstance(row["source"], str) or not row["source"] or not isinstance(row["memory"], bool):
        raise ValueError(say("source_text_memory", where=where))
    return row["source"], row["memory"]


def _range(where: str, kind: type[Range], value: Any) -> Range:
    cells = {"cells"} if kind is PerCell else set()
    row = _table(where, value, {"low", "high", "source", "memory"} | cells)
    low, high = _number(where, row["low"]), _number(where, row["high"])
    if low > high:
        raise ValueError(say("low_above_high", where=where))
    if kind is PerCell:
        return PerCell(low, high, *_whence(where, row), _count(where, row["cells"]))
    return Range(low, high, *_whence(where, row))


def _rest(where: str, value: Any) -> RestCurve:
    recalled = {"recalled_percent"} & set(value if isinstance(value, dict) else ())
    row = _table(where, value, {"cells", "source", "memory", "percent_v"} | recalled)
    source, memory = _whence(where, row)
    unread = {_number(where, soc) for soc in _list(where, row.get("recalled_percent", []))}
    points = []
    for stated, volts in _table(where, row["percent_v"], None).items():
        soc = _number(where, stated)
        low, high = _ends(where, volts)
        points.append(RestVoltage(soc, (low + high) / 2, source, memory or soc in unread, (high - low) / 2))
    points.sort(key=lambda one: -one.soc_percent)
    falling = [one.volts_v for one in points] == sorted((one.volts_v for one in points), reverse=True)
    if not points or (points[0].soc_percent, points[-1].soc_percent) != (100.0, 0.0) or not falling:
        raise ValueError(say("percent_v_runs_from", where=where))
    return RestCurve(_count(where, row["cells"]), tuple(points))


def _ends(where: str, value: Any) -> tuple[float, float]:
    """Return the two ends of a range that may be a single number."""
    ends = [_number(where, one) for one in (value if isinstance(value, list) else [value])]
    if len(ends) not in (1, 2) or ends != sorted(ends):
        raise ValueError(say("not_number_or_ends", where=where, value=value))
    return ends[0], ends[-1]


def _cold(where: str, value: Any) -> ColdShare:
    row = _table(where, value, {"celsius", "low_percent", "high_percent", "source", "memory"})
    celsius, low, high = (_number(where, row[key]) for key in ("celsius", "low_percent", "high_percent"))
    return ColdShare(celsius, low, high, *_whence(where, row))
