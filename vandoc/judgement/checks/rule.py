"""What a rule is, and the list of all rules.

A rule's code finds what is wrong (`Breach`); its words say it. Each file in a folder of
`vandoc.judgement.checks.rules` holds one check: its function, its severities and what may cure it. Its
words lie beside it, by language.
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
    """A figure that knows where it comes from."""

    @property
    def source(self) -> str: ...

    @property
    def from_memory(self) -> bool: ...


@dataclass(frozen=True)
class Phrase:
    """A wording that several rules use: a key of `phrases.yml`."""

    key: str


Word = str | int | Amount | Phrase | CitedFigure
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
    cited: tuple[CitedFigure | Phrase, ...] = ()
    steps: tuple[Mapping[str, Word], ...] = ()
    unknown: bool = False


Generator = Callable[[Van, Breach], Iterator[Change]]
"""What yields changes that may cure a breach, nearest first."""
Check = Callable[[Van], Iterator[Breach]]


@dataclass(frozen=True)
class Declared:
    """A rule as its file declares it; its words lie beside the file."""

    slug: str
    severity: Severity
    cures: tuple[Generator, ...] = ()


def fail(slug: str, *cures: Generator) -> Declared:
    """Declare a rule whose breach must be put right, with what may cure it."""
    return Declared(slug, "fail", cures)


def review(slug: str, *cures: Generator) -> Declared:
    """Declare a rule whose breach a person must look at."""
    return Declared(slug, "review", cures)


def note(slug: str) -> Declared:
    """Declare a rule whose breach is for information."""
    return Declared(slug, "note")


@dataclass(frozen=True)
class Rule:
    """A rule with its words.

    Attributes
    ----------
    slug : str
        Its name; never used again for another rule.
    family : str
        The folder that holds its file.
    severity : str
        Of a breach; `review` where it cannot be checked.
    cures : tuple of callable
        What may cure a breach; empty where no change of one value does.
    title : str
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
    """The code of some rules: a function, what it declares, and the file that holds it."""

    check: Check
    declared: tuple[Declared, ...]
    file: Path

    @property
    def slugs(self) -> tuple[str, ...]:
        """The rules that the function may yield."""
        return tuple(one.slug for one in self.declared)

    @property
    def family(self) -> str:
        """The folder that holds the file."""
        return self.file.parent.name

    def words(self) -> Mapping[str, Mapping[str, str]]:
        """What the words file beside the code says of each of its rules.

        Raises
        ------
        LookupError
            If there is no such file, or it names other rules than the code.
        """
        found: Mapping[str, Mapping[str, str]] = beside(self.file)
        if set(found) != set(self.slugs):
            raise LookupError(f"{self.file.stem}: rules {sorted(self.slugs)}, but words for {sorted(found)}")
        return found


_registered: dict[Check, Registered] = {}


def rule(*declared: Declared) -> Callable[[Check], Check]:
    """Register a function as the code of the rules declared; its words lie beside its file."""

    def register(check: Check) -> Check:
        file = Path(check.__code__.co_filename)
        _registered[check] = Registered(check, declared, file)
        return check

    return register


@cache
def registered() -> tuple[Registered, ...]:
    """Return the code of all rules, found in the folders of `vandoc.judgement.checks.rules`."""
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
        If a file has no words, or words a rule that it does not declare.
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
