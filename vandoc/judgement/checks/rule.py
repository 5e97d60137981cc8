"""Rules and their registration; packages of others may add rules and never replace one.

The code of a rule finds breaches (`Breach`); a message file words them. Each file in a folder of
`vandoc.judgement.checks.rules` holds one check: its function, its severities and its candidate remedies. The
message files are beside it, one for each language.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from types import MappingProxyType, ModuleType
from typing import Protocol

from vandoc.analysis import Van
from vandoc.ground.extensions import Extension, Package, blamed, extensions
from vandoc.ground.messages import Messages, Voice, beside, voice
from vandoc.judgement.checks import rules as rules_of
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.change import Change
from vandoc.judgement.checks.finding import Severity
from vandoc.model.references import Path as Trail

say = Messages("vandoc.judgement.checks", "rules").say


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


UNDOCUMENTED = (
    "common practice",
    "own choice",
    "own limit",
    "from memory",
    "nodal analysis",
    "manufacturer's",
)
"""Marks of a source that nobody can look up."""
Generator = Callable[[Van, Breach], Iterator[Change]]
"""A function that yields changes that may cure a breach, the smallest first."""
Check = Callable[[Van], Iterator[Breach]]


@dataclass(frozen=True)
class RuleDeclaration:
    """A rule as declared in its code file; the message file is beside it."""

    slug: str
    severity: Severity
    cures: tuple[Generator, ...] = ()


def fail(slug: str, *cures: Generator) -> RuleDeclaration:
    """Declare a rule whose breach must be corrected, with its candidate remedies."""
    return RuleDeclaration(slug, "fail", cures)


def review(slug: str, *cures: Generator) -> RuleDeclaration:
    """Declare a rule whose breach must be reviewed."""
    return RuleDeclaration(slug, "review", cures)


def note(slug: str) -> RuleDeclaration:
    """Declare a rule whose breach is for information."""
    return RuleDeclaration(slug, "note")


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
    package : Package or None
        The package of others that adds the rule; None for a rule of vandoc.
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
    package: Package | None = None

    @property
    def documented(self) -> bool:
        """Whether a document that was read is behind its limit, and not only practice, memory or a label."""
        parts = self.source.split("; ")
        return not all(any(mark in part for mark in UNDOCUMENTED) for part in parts)


@dataclass(frozen=True)
class RegisteredRules:
    """The code of one or more rules: its function, its declarations, its file and the package of others."""

    check: Check
    declared: tuple[RuleDeclaration, ...]
    file: Path
    package: Package | None = None

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
        found: Mapping[str, Mapping[str, str]] = beside(self.file) or {}
        if set(found) != set(self.slugs):
            raise LookupError(
                say("other_words", stem=self.file.stem, slugs=sorted(self.slugs), found=sorted(found))
            )
        return found


_registered: dict[Check, RegisteredRules] = {}


def rule(*declared: RuleDeclaration) -> Callable[[Check], Check]:
    """Register a function as the code of the declared rules."""

    def register(check: Check) -> Check:
        file = Path(check.__code__.co_filename)
        _registered[check] = RegisteredRules(check, declared, file)
        return check

    return register


def registered() -> tuple[RegisteredRules, ...]:
    """Return the code of all rules: our own by family and file, then those of packages by package.

    Raises
    ------
    ExtensionError
        If a package's module cannot be imported or holds no rule.
    """
    return _registered_with(extensions("rules"))


@cache
def _registered_with(added: tuple[Extension, ...]) -> tuple[RegisteredRules, ...]:
    found = sorted(_in_modules(rules_of), key=lambda one: (one.family, one.file.name))
    for extension in added:
        module = extension.load()
        with blamed(extension.package):
            theirs = _in_modules(module)
            if not theirs:
                raise ValueError(say("no_rule", module=extension.module))
            found += (replace(one, package=extension.package) for one in theirs)
    return tuple(found)


def _in_modules(top: ModuleType) -> list[RegisteredRules]:
    """Import a module, and if it is a folder all modules in it, and return the code of its rules."""
    inside = walk_packages(getattr(top, "__path__", ()), f"{top.__name__}.")
    names = [top.__name__, *sorted(module.name for module in inside)]
    for name in names:
        import_module(name)
    return [one for check, one in _registered.items() if check.__module__ in names]


def rules() -> Mapping[str, Rule]:
    """Return all rules by slug, in the order of :func:`registered`.

    Raises
    ------
    ValueError
        If two files declare the same rule.
    LookupError
        If a file has no messages, or messages for a rule that it does not declare.
    ExtensionError
        If that is the fault of a package of others, or it declares a rule that exists.
    """
    return _rules_with(extensions("rules"), voice())


@cache
def _rules_with(
    added: tuple[Extension, ...],
    words_of: Voice,  # noqa: ARG001 (the words differ)
) -> Mapping[str, Rule]:
    found: dict[str, Rule] = {}
    for one in _registered_with(added):
        with blamed(one.package):
            words = one.words()
            for declared in one.declared:
                slug = declared.slug
                if slug in found:
                    other = found[slug].package or found[slug].family
                    raise ValueError(
                        say(
                            "rule_declared",
                            slug=slug,
                            other=other,
                            package=one.package or one.family,
                        )
                    )
                found[slug] = Rule(
                    slug, one.family, declared.severity, declared.cures, **words[slug], package=one.package
                )
    return MappingProxyType(found)
