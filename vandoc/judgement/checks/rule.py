"""Rules and their registration.

The code of a rule finds breaches (`Breach`); a message file words them. Each file in a folder of
`vandoc.judgement.checks.rules` holds one check: its function, its severities and its candidate remedies. The
message files are beside it, one for each language.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from types import MappingProxyType
from typing import Protocol

from vandoc.analysis import Van
from vandoc.ground.messages import beside
from vandoc.judgement.checks import rules as rules_of
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.change import Change
from vandoc.judgement.checks.finding import Severity
from vandoc.model.references import Path as Trail


class CitedFigure(Protocol):
    """A figure with its source."""

    @property
    def source(self) -> str: ...

    @property
    def from_memory(self) -> bool: ...


@dataclass(frozen=True)
class Phrase:
    """A wording that several rules use: a key of `phrases.yml`."""

    key: str


Word = str | int | Amount | Phrase | CitedFigure
"""The value of a message field; a cited figure is replaced by its source."""


@dataclass(frozen=True)
class Breach:
    """A breach of one rule by one item, in numbers.

    Attributes
    ----------
    rule : str
        The rule's slug.
    subject : str
        The item, by its name in the van file.
    trail : tuple
        Path of the value in the van file that the finding points at.
    words : mapping
        Values of the fields of the rule's messages.
    value, limit : Amount or None
        The value found and its limit; also the fields `value` and `limit` of the messages.
    cited : tuple
        The figures that decided; if there are none, the source in the message file applies.
    steps : tuple of mapping
        Fields for each line of a calculation of several lines.
    unknown : bool
        True if a value is missing, so that the rule cannot be checked.
    """

    rule: str
    subject: str
    trail: Trail
    words: Mapping[str, Word] = field(default_factory=dict)
    value: Amount | None = None
    limit: Amount | None = None
    cited: tuple[CitedFigure | Phrase, ...] = ()
    steps: tuple[Mapping[str, Word], ...] = ()
    unknown: bool = False


Generator = Callable[[Van, Breach], Iterator[Change]]
"""A function that yields changes that may cure a breach, the smallest first."""
Check = Callable[[Van], Iterator[Breach]]


@dataclass(frozen=True)
class Declared:
    """A rule as declared in its code file; the message file is beside it."""

    slug: str
    severity: Severity
    cures: tuple[Generator, ...] = ()


def fail(slug: str, *cures: Generator) -> Declared:
    """Declare a rule whose breach must be corrected, with its candidate remedies."""
    return Declared(slug, "fail", cures)


def review(slug: str, *cures: Generator) -> Declared:
    """Declare a rule whose breach must be reviewed."""
    return Declared(slug, "review", cures)


def note(slug: str) -> Declared:
    """Declare a rule whose breach is for information."""
    return Declared(slug, "note")


@dataclass(frozen=True)
class Rule:
    """A rule with its messages.

    Attributes
    ----------
    slug : str
        Name of the rule; never reused for another rule.
    family : str
        Folder of its file.
    severity : str
        Severity of a breach; `review` if the rule cannot be checked.
    cures : tuple of callable
        Candidate remedies; empty if no single change cures a breach.
    title : str
    message, unknown : str
        Templates of the sentence for a breach and for a missing value; `unknown` may be empty.
    working, step : str
        Templates of the calculation and of one of its lines; may be empty.
    why, cure : str
        Consequence of a breach, and remedy.
    source : str
        Standard, edition and clause, or "common practice, no source".
    """

    slug: str
    family: str
    severity: Severity
    cures: tuple[Generator, ...]
    title: str
    message: str
    why: str
    cure: str
    source: str
    unknown: str = ""
    working: str = ""
    step: str = ""


@dataclass(frozen=True)
class Registered:
    """The code of one or more rules: its function, its declarations and its file."""

    check: Check
    declared: tuple[Declared, ...]
    file: Path

    @property
    def slugs(self) -> tuple[str, ...]:
        """The rules whose breaches the function can yield."""
        return tuple(one.slug for one in self.declared)

    @property
    def family(self) -> str:
        """The folder of the file."""
        return self.file.parent.name

    def words(self) -> Mapping[str, Mapping[str, str]]:
        """Messages of each rule from the file beside the code.

        Raises
        ------
        LookupError
            If the file is missing or its rules differ from those in the code.
        """
        found: Mapping[str, Mapping[str, str]] = beside(self.file)
        if set(found) != set(self.slugs):
            raise LookupError(f"{self.file.stem}: rules {sorted(self.slugs)}, but words for {sorted(found)}")
        return found


_registered: dict[Check, Registered] = {}


def rule(*declared: Declared) -> Callable[[Check], Check]:
    """Register a function as the code of the declared rules."""

    def register(check: Check) -> Check:
        file = Path(check.__code__.co_filename)
        _registered[check] = Registered(check, declared, file)
        return check

    return register


@cache
def registered() -> tuple[Registered, ...]:
    """Return the code of all rules in the folders of `vandoc.judgement.checks.rules`."""
    found = []
    for module in sorted(walk_packages(rules_of.__path__, f"{rules_of.__name__}."), key=lambda one: one.name):
        if not module.ispkg:
            import_module(module.name)
    found = sorted(_registered.values(), key=lambda one: (one.family, one.file.name))
    return tuple(found)


@cache
def rules() -> Mapping[str, Rule]:
    """Return all rules by slug, by family and file.

    Raises
    ------
    ValueError
        If two files declare the same rule.
    LookupError
        If a file has no messages, or messages for a rule that it does not declare.
    """
    found: dict[str, Rule] = {}
    for one in registered():
        words = one.words()
        for declared in one.declared:
            slug = declared.slug
            if slug in found:
                raise ValueError(f"rule {slug!r} is declared in {found[slug].family} and in {one.family}")
            found[slug] = Rule(slug, one.family, declared.severity, declared.cures, **words[slug])
    return MappingProxyType(found)
