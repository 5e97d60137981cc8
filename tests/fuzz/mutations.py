"""Files spoilt by chance from a seed: as text, as bytes and as trees of values."""

from collections.abc import Callable
from copy import deepcopy
from functools import lru_cache
from random import Random
from typing import Any

import yaml

# The same in C where it is there: reading and writing the trees took longer than the commands.
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
DUMPER = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
HOSTILE: tuple[Any, ...] = (
    None,
    True,
    "",
    " ",
    0,
    -1,
    10**30,
    float("nan"),
    float("inf"),
    -0.0,
    1e-320,
    [],
    {},
    [[[[[]]]]],
    {"a": {"a": {"a": None}}},
    "nan A",
    "inf V",
    "-5 A",
    "0 mm²",
    "1e300 Ah",
    "1e-300 Ah",
    "99999999999999999999 m",
    "12 V 12 V",
    "0.0001 V",
    "1000 V",
    "1000 m",
    "٣ A",
    "12,5 A",
    "2024-02-30",
    "0001-01-01",
    "9999-12-31",
    "\u202e\u200b\ufeff",
    "\u200d",
    "a\u0301" * 40,
    "x" * 100_000,
    "<script>alert(1)</script>",
    "=1+1",
    "{{ 7*7 }}",
    "](javascript:alert(1))",
    "../../../etc/passwd",
    "/dev/zero",
    "con",
    "house.+",
    "chassis",
    "chassis.+",
    "starter",
    "&a *a",
    "!!python/object:os.system",
    "\x00",
    "\ud800",
    "🚐" * 30,
    "1 AWG",
    "0000 AWG",
    "35 °C",
    "24 V",
    "unknown",
)


def spoilt_text(pick: Random, text: str) -> bytes:
    """A text with its lines, signs or bytes changed one to four times."""
    for _ in range(pick.randint(1, 4)):
        text = pick.choice(_IN_TEXT)(pick, text)
    raw = bytearray(text.encode("utf-8", "surrogatepass"))
    if raw and pick.random() < 0.15:
        for _ in range(pick.randint(1, 5)):
            raw[pick.randrange(len(raw))] = pick.randrange(256)
    return bytes(raw)


def spoilt_tree(pick: Random, text: str) -> bytes:
    """YAML whose values, keys and entries are changed one to five times, but which is still YAML."""
    tree = deepcopy(_tree(text))
    for _ in range(pick.randint(1, 5)):
        spots = list(_spots(tree))
        if not spots:
            break
        holder, key = pick.choice(spots)
        pick.choice(_IN_TREE)(pick, holder, key, spots)
    return _encoded(tree)


def altered_tree(pick: Random, text: str) -> bytes:
    """YAML in which one to three values are scaled, left out or taken from the same key elsewhere.

    Many of these files can still be read, so that the checks have to live with them.
    """
    tree = deepcopy(_tree(text))
    for _ in range(pick.randint(1, 3)):
        spots = list(_spots(tree))
        if spots:
            holder, key = pick.choice(spots)
            pick.choice((_scale, _scale, _scale, _remove, _like_another))(pick, holder, key, spots)
    return _encoded(tree)


def _encoded(tree: Any) -> bytes:
    try:
        return _dumped(tree, DUMPER).encode("utf-8")
    except UnicodeEncodeError:  # half a pair of surrogates, which only the slow one writes
        return _dumped(tree, yaml.SafeDumper).encode("utf-8", "surrogatepass")


def _dumped(tree: Any, dumper: Any) -> str:
    text: str = yaml.dump(tree, Dumper=dumper, sort_keys=False, allow_unicode=True, width=10_000)
    return text


@lru_cache(maxsize=16)
def _tree(text: str) -> Any:
    return yaml.load(text, LOADER)


def _spots(node: Any) -> Any:
    if isinstance(node, dict | list):
        for key, value in list(node.items() if isinstance(node, dict) else enumerate(node)):
            yield node, key
            yield from _spots(value)


def _replace(pick: Random, holder: Any, key: Any, _spots: Any) -> None:
    value = pick.choice(HOSTILE)
    holder[key] = value.copy() if isinstance(value, list | dict) else value


def _remove(_pick: Random, holder: Any, key: Any, _spots: Any) -> None:
    if isinstance(holder, dict):
        holder.pop(key, None)
    elif key < len(holder):
        del holder[key]


def _exchange(pick: Random, holder: Any, key: Any, spots: Any) -> None:
    """Put a plain value from elsewhere in its place."""
    plain = [one[other] for one, other in spots if not isinstance(_at(one, other), dict | list)]
    holder[key] = pick.choice(plain or [None])


def _like_another(pick: Random, holder: Any, key: Any, spots: Any) -> None:
    """Take the value that the same key has elsewhere."""
    alike = [one[other] for one, other in spots if other == key and isinstance(one, type(holder))]
    holder[key] = deepcopy(pick.choice(alike or [None]))


def _scale(pick: Random, holder: Any, key: Any, _spots: Any) -> None:
    value = _at(holder, key)
    if isinstance(value, str) and value[:1].isdigit():
        number, _, unit = value.partition(" ")
        factor = pick.choice([0, 0.001, 0.1, 2, 10, 1000, -1])
        try:
            holder[key] = f"{float(number) * factor:g} {unit}"
        except ValueError:
            holder[key] = value[::-1]


def _rename(pick: Random, holder: Any, key: Any, _spots: Any) -> None:
    if isinstance(holder, dict) and key in holder:
        value = holder.pop(key)
        holder[pick.choice([f"{key}x", key[:-1] if isinstance(key, str) else key, "name", "", "on", 5])] = (
            value
        )


def _double(_pick: Random, holder: Any, key: Any, _spots: Any) -> None:
    if isinstance(holder, list) and key < len(holder):
        holder.append(holder[key])
    elif isinstance(holder, dict) and isinstance(key, str) and key in holder:
        holder[f"{key}-2"] = holder[key]


def _at(holder: Any, key: Any) -> Any:
    try:
        return holder[key]
    except (KeyError, IndexError):
        return None


_IN_TREE: tuple[Callable[[Random, Any, Any, Any], None], ...] = (
    _replace,
    _remove,
    _exchange,
    _scale,
    _scale,
    _rename,
    _double,
)


def _lines(change: Callable[[Random, list[str]], None]) -> Callable[[Random, str], str]:
    def changed(pick: Random, text: str) -> str:
        lines = text.split("\n")
        change(pick, lines)
        return "\n".join(lines)

    return changed


def _drop(pick: Random, lines: list[str]) -> None:
    start = pick.randrange(len(lines))
    del lines[start : start + pick.choice([1, 1, 2, 10])]
    if not lines:
        lines.append("")


def _repeat(pick: Random, lines: list[str]) -> None:
    start = pick.randrange(len(lines))
    lines[start:start] = lines[start : start + pick.choice([1, 3, 20])]


def _swap(pick: Random, lines: list[str]) -> None:
    one, other = pick.randrange(len(lines)), pick.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]


def _indent(pick: Random, lines: list[str]) -> None:
    number = pick.randrange(len(lines))
    lines[number] = pick.choice([" ", "    ", "\t", "- ", "? ", "# ", "  - - "]) + lines[number]


def _overwrite(pick: Random, lines: list[str]) -> None:
    number = pick.randrange(len(lines))
    key, colon, _ = lines[number].partition(":")
    value = pick.choice(HOSTILE)
    lines[number] = f"{key}{colon} {value if isinstance(value, str) else repr(value)}"


def _cut(pick: Random, text: str) -> str:
    return text[: pick.randrange(len(text) + 1)]


def _sprinkle(pick: Random, text: str) -> str:
    place = pick.randrange(len(text) + 1)
    extra = pick.choice(
        ["\x00", "\u2028", "{", "[" * 300, "}", "'", '"', "&a ", "*a", ": ", "|\n", "\r", "%", "…"]
    )
    return text[:place] + extra + text[place:]


_IN_TEXT: tuple[Callable[[Random, str], str], ...] = (
    _lines(_drop),
    _lines(_repeat),
    _lines(_swap),
    _lines(_indent),
    _lines(_overwrite),
    _lines(_overwrite),
    _cut,
    _sprinkle,
)
