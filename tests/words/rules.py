"""The words that texts avoid, as data beside this module, and where a text has one."""

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent


@cache
def read_yaml(path: Path) -> Any:
    """The content of a file, by the quick parser where there is one."""
    return yaml.load(path.read_text("utf-8"), getattr(yaml, "CSafeLoader", yaml.SafeLoader))


@dataclass(frozen=True)
class Rule:
    """What not to write.

    Attributes
    ----------
    pattern : re.Pattern
        The words themselves.
    allowed : re.Pattern or None
        Phrases in which they are right.
    readers : frozenset of str
        Whose texts keep to it; empty for all.
    say, why, wrong, right : str
        What to write instead, the reason, and one text of each kind.
    """

    pattern: re.Pattern[str]
    allowed: re.Pattern[str] | None
    readers: frozenset[str]
    say: str
    why: str
    wrong: str
    right: str

    def found(self, words: str) -> list[str]:
        """The words of a text that it should not have."""
        spans = [match.span() for match in self.allowed.finditer(words)] if self.allowed else []
        return [
            match[0].strip()
            for match in self.pattern.finditer(words)
            if not any(start <= match.start() and match.end() <= end for start, end in spans)
        ]


def _whole_words(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?:(?<![\w-])|(?=\W))(?:{pattern})(?!\w)", re.IGNORECASE)


def _rule(entry: dict[str, Any]) -> Rule:
    allowed = entry.get("but")
    return Rule(
        _whole_words(entry["not"]),
        re.compile("|".join(allowed), re.IGNORECASE) if allowed else None,
        frozenset(entry.get("readers", ())),
        entry["say"],
        entry["why"],
        entry["wrong"],
        entry["right"],
    )


@cache
def rules(name: str) -> tuple[Rule, ...]:
    """The rules of `forbidden.yml` or `terms.yml`."""
    return tuple(_rule(entry) for entry in read_yaml(HERE / f"{name}.yml"))


def violations(words: str, reader: str) -> list[str]:
    """What a text of a reader says that it should not, and what to say instead."""
    return [
        f"'{found}': say {rule.say} ({rule.why})"
        for name in ("forbidden", "terms")
        for rule in rules(name)
        if not rule.readers or reader in rule.readers
        for found in rule.found(words)
    ]
