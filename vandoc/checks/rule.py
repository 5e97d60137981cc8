"""What a rule is, and the list of all rules.

A rule's code finds what is wrong (`Breach`); its words say it. Each family of rules is a module here and a
message file of the same name.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Protocol

from vandoc.analysis import Van
from vandoc.checks.amount import Amount
from vandoc.checks.finding import Severity
from vandoc.messages import Messages
from vandoc.model.references import Path as Trail

FAMILIES = (
    "connections",
    "protection",
    "capacity",
    "fuses",
    "faults",
    "ratings",
    "drop",
    "operating",
    "returns",
    "charging",
    "profiles",
    "solar",
    "batteries",
    "energy",
    "places",
    "terminals",
    "mains",
    "personal",
    "commissioning",
    "revisions",
)


class Cited(Protocol):
    """A figure that knows where it comes from."""

    @property
    def source(self) -> str: ...

    @property
    def from_memory(self) -> bool: ...


@dataclass(frozen=True)
class Phrase:
    """A wording that several rules use: a key of `phrases.yml`."""

    key: str


Word = str | int | Amount | Phrase | Cited
"""What a field of a message stands for; a cited figure stands for its source."""


@dataclass(frozen=True)
class Breach:
    """One thing that breaks one rule, in numbers.

    Attributes
    ----------
    rule : str
        The rule's slug.
    subject : str
        The thing, by its name in the van file.
    trail : tuple
        Path of the value in the van file at which to point.
    words : mapping
        What the fields of the rule's messages stand for.
    value, limit : Amount or None
        What was found and what is allowed; also the fields `value` and `limit` of the messages.
    cited : tuple
        The figures that decided; the source that the message file names counts where there are none.
    steps : tuple of mapping
        Words for each line of a sum of several lines.
    unknown : bool
        True where a value is missing, so that the rule cannot be checked.
    """

    rule: str
    subject: str
    trail: Trail
    words: Mapping[str, Word] = field(default_factory=dict)
    value: Amount | None = None
    limit: Amount | None = None
    cited: tuple[Cited | Phrase, ...] = ()
    steps: tuple[Mapping[str, Word], ...] = ()
    unknown: bool = False


@dataclass(frozen=True)
class Rule:
    """A rule in words.

    Attributes
    ----------
    slug : str
        Its name; never used again for another rule.
    family : str
        The module that holds it.
    title : str
    severity : str
        Of a breach; `review` where it cannot be checked.
    message, unknown : str
        Templates of the sentence for a breach, and for a value that is missing; `unknown` may be empty.
    working, step : str
        Templates of the sum and of one of its lines; may be empty.
    why, cure : str
        What goes wrong when it is ignored, and what to do.
    source : str
        Standard, edition and clause, or "common practice, no source".
    """

    slug: str
    family: str
    title: str
    severity: Severity
    message: str
    why: str
    cure: str
    source: str
    unknown: str = ""
    working: str = ""
    step: str = ""


Check = Callable[[Van], Iterator[Breach]]
_checks: dict[Check, tuple[str, ...]] = {}


def rule(*slugs: str) -> Callable[[Check], Check]:
    """Register a function as the code of the rules named."""

    def register(check: Check) -> Check:
        _checks[check] = slugs
        return check

    return register


def checks() -> Mapping[Check, tuple[str, ...]]:
    """Return the code of all rules that were imported, with the slugs that each may yield."""
    return MappingProxyType(_checks)


@cache
def rules() -> Mapping[str, Rule]:
    """Return all rules by slug, in the order of the message files."""
    found: dict[str, Rule] = {}
    for family in FAMILIES:
        for slug, words in Messages("vandoc.checks", family).tree.items():
            if slug in found:
                raise ValueError(f"rule {slug!r} is in both {found[slug].family}.yml and {family}.yml")
            found[slug] = Rule(slug, family, **words)
    return MappingProxyType(found)
