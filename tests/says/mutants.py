"""Mutants of what vandoc says and of its limits: one text, condition or figure changed, for a test to notice.

Those of cautions, steps and labels are made from the files themselves, so that new ones are never left
out; `mutants.yml` lists others by hand, and the lines of the templates that nobody's safety depends on.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from tests.conftest import ROOT

HERE = Path(__file__).parent
MANUAL = "vandoc/pages/manual"
TEMPLATES = f"{MANUAL}/templates"
SAYS = ("tests/says/test_table.py", "-k", "not curlew and not heron and not wren")
WITH_PROSE = ("emergency", "rescue", "safe", "garage", "breakdown", "cautions", "winter", "lead_acid")
STEP = re.compile(r"\bcaution\(|\bstep\(|<d[td]>|^<li><strong>")
PROSE = re.compile(r"[A-Za-z*0-9-]")
CONDITION = re.compile(r"\{% (el)?if (?P<asked>.*?) %\}")
ASKS = re.compile(
    r"traits|cautions|guess|lead\b|lithium|safety\.|hook_up|arrays|inverters|not_isolated|expected|have\.mains|flooded"
)
SENTENCE = re.compile(r"(?<=\.) ")


@dataclass(frozen=True)
class Mutant:
    """One change of one file of the package.

    Attributes
    ----------
    path : str
        The file, from the project's folder.
    text : str
        The whole file with the change.
    what : str
        The change, for a reader.
    tests : tuple of str
        Arguments of pytest: the tests of which one has to fail.
    """

    path: str
    text: str
    what: str
    tests: tuple[str, ...] = SAYS


def every() -> Iterator[Mutant]:
    """Yield all mutants."""
    yield from of_cautions()
    yield from of_templates()
    yield from of_messages()
    yield from by_hand()


@cache
def listed() -> dict[str, Any]:
    """Return what is listed by hand."""
    found: dict[str, Any] = yaml.safe_load((HERE / "mutants.yml").read_text("utf-8"))
    return found


def by_hand() -> Iterator[Mutant]:
    """Yield the mutants of the list.

    Raises
    ------
    ValueError
        If a text is not in its file exactly once: then the list has to follow the code.
    """
    for group in listed()["groups"]:
        for entry in group["mutants"]:
            path = entry.get("file", group.get("file"))
            text = (ROOT / path).read_text("utf-8")
            if text.count(entry["find"]) != 1:
                raise ValueError(f"{path}: {entry['find']!r} occurs {text.count(entry['find'])} times")
            changed = text.replace(entry["find"], entry["put"])
            what = f"{entry['find'].strip()!r} becomes {entry['put'].strip()!r}"
            yield Mutant(path, changed, what, tuple(group["tests"]))


def of_cautions() -> Iterator[Mutant]:
    """Each caution silent, lowered, shown to the wrong vans, and without each of its sentences."""
    path = f"{MANUAL}/messages/en/cautions.yml"
    tree = yaml.safe_load((ROOT / path).read_text("utf-8"))
    for name, caution in tree.items():
        parts = {part: caution[part] for part in ("hazard", "consequence", "avoid")}
        changes: dict[str, dict[str, str]] = {
            "silent": dict.fromkeys(parts, "-"),
            "notice": {"signal": "NOTICE"},
        }
        if "when" in caution:
            changes["shown to the wrong vans"] = {
                "when": "solar" if caution["when"] != "solar" else "flooded"
            }
        for part, words in parts.items():
            sentences = SENTENCE.split(words)
            for number, sentence in enumerate(sentences):
                rest = " ".join(sentences[:number] + sentences[number + 1 :])
                changes[f"without {sentence!r}"] = {part: rest or "-"}
        for what, change in changes.items():
            changed = {**tree, name: {**caution, **change}}
            yield Mutant(path, json.dumps(changed, ensure_ascii=False), f"{name} {what}")


def of_templates() -> Iterator[Mutant]:
    """Each caution, step and line of the templates taken away, and each condition on a trait turned round."""
    for path in sorted((ROOT / TEMPLATES).rglob("*.j2")):
        lines = path.read_text("utf-8").split("\n")
        name, stem = str(path.relative_to(ROOT)), path.name.split(".")[0]
        prose = stem in WITH_PROSE or path.parent.name == "chemistry"
        for number, line in enumerate(lines):
            if stem in ("macros", "phrases") or _harmless(line):
                continue
            own_words = f'say("{stem}.' in line and "caution(" not in line  # made silent below
            if not own_words and (STEP.search(line) or (prose and PROSE.match(line))):
                text = "\n".join([*lines[:number], *lines[number + 1 :]])
                yield Mutant(name, text, f"line {number + 1} taken away: {line}")
            for found in CONDITION.finditer(line):
                if ASKS.search(found["asked"]):
                    turned = f"{{% {found[1] or ''}if not ({found['asked']}) %}}"
                    said = line[: found.start()] + turned + line[found.end() :]
                    text = "\n".join([*lines[:number], said, *lines[number + 1 :]])
                    yield Mutant(name, text, f"line {number + 1} turned round: {line}")


def _harmless(text: str) -> bool:
    return any(re.search(pattern, text) for pattern in listed()["harmless"])


def of_messages() -> Iterator[Mutant]:
    """Each text of labels, and of pages that say what to do at once, silent."""
    for path, sections in listed()["messages"].items():
        tree = yaml.safe_load((ROOT / path).read_text("utf-8"))
        for section in sections or tree:
            for trail, words in _leaves(tree[section], (section,)):
                heading = "/pages/" in path.removeprefix("vandoc/pages") and not re.search(r"[.:]", words)
                if heading or ".".join(trail) in listed()["harmless messages"] or _harmless(words):
                    continue
                text = json.dumps(_with(tree, trail, "-"), ensure_ascii=False)
                yield Mutant(path, text, f"{'.'.join(trail)} silent: {words}")


def _leaves(node: Any, trail: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str]]:
    if isinstance(node, dict):
        for key, child in node.items():
            yield from _leaves(child, (*trail, str(key)))
    elif isinstance(node, str):
        yield trail, node


def _with(tree: Any, trail: tuple[str, ...], words: str) -> Any:
    if not trail:
        return words
    return {
        key: _with(child, trail[1:], words) if str(key) == trail[0] else child for key, child in tree.items()
    }
