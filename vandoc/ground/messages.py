"""Catalogues of wordings: YAML files in a package's `messages/<language>/`, or beside a module.

Each is read on first use. While another language is spoken (`speaking`), its words come first and English
fills what is missing.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cached_property
from importlib.resources import files
from pathlib import Path
from typing import Any, cast

import yaml

from vandoc.ground.measures import METRIC, Measures, in_house, measures, measuring_in
from vandoc.ground.speech import ENGLISH, LANGUAGE, in_language, speech

__all__ = [
    "LANGUAGE",
    "Messages",
    "ModuleMessages",
    "Translation",
    "Voice",
    "beside",
    "catalogues",
    "content_of",
    "is_plural",
    "speaking",
    "spoken",
]
ROOT = Path(__file__).parents[1]
PLURALS = {"zero", "one", "two", "few", "many", "other"}  # CLDR's categories


@dataclass(frozen=True, eq=False)
class Translation:
    """The words of a language other than English.

    Attributes
    ----------
    language : str
        ISO 639-1.
    package : str
        Name and version of the package that adds them.
    texts : mapping of str to object
        Content of each catalogue by its place, as in :func:`catalogues`.
    missing : int
        Number of English wordings that it leaves out.
    """

    language: str
    package: str
    texts: Mapping[str, Any]
    missing: int


Voice = tuple[Translation | None, Measures]

_spoken: ContextVar[Translation | None] = ContextVar("_spoken", default=None)


def spoken() -> Translation | None:
    """Return the words of the language that is spoken now; None for English."""
    return _spoken.get()


def voice() -> Voice:
    """Return the words and the system of units in use, on which everything that is said depends."""
    return _spoken.get(), measures()


@contextmanager
def speaking(translation: Translation | None, units: Measures = METRIC) -> Iterator[None]:
    """Speak a language inside: its words, numbers, dates, plurals, and units; None is English."""
    token = _spoken.set(translation)
    try:
        with in_language(translation.language if translation else LANGUAGE), measuring_in(units):
            yield
    finally:
        _spoken.reset(token)


class Messages:
    """One catalogue.

    Parameters
    ----------
    package : str
        Package that contains the file.
    name : str
        File name below `messages/<language>/`, without its extension.

    Examples
    --------
    >>> words = Messages("vandoc.pages.diagram", "drawings")
    >>> words.say("board.position", position=3, facts="{10 A}")
    '3: {10 A}'
    >>> words["plan.driver"]
    ["driver's", 'side']
    """

    def __init__(self, package: str, name: str) -> None:
        self.package, self.name = package, name
        self._trees: dict[Voice, Any] = {}

    def __str__(self) -> str:
        return f"{self.package.replace('.', '/')}/messages/{LANGUAGE}/{self.name}.yml"

    @cached_property
    def path(self) -> Path:
        """The English file."""
        return Path(str(files(self.package))) / "messages" / LANGUAGE / f"{self.name}.yml"

    @property
    def tree(self) -> Any:
        """Whole content of the file in the language that is spoken."""
        now = voice()
        if now not in self._trees:
            self._trees[now] = _read(self.path)
        return self._trees[now]

    def forget(self) -> None:
        """Read the file again when it is next asked for."""
        self._trees.clear()

    def __getitem__(self, key: str) -> Any:
        """Return the entry under a key such as ``"fuse.title"``: a message, or a list or table of messages.

        Raises
        ------
        LookupError
            If there is no such entry.
        """
        found = self.tree
        for step in key.split("."):
            if not isinstance(found, dict) or step not in found:
                raise LookupError(f"{self}: there is no '{key}'")
            found = found[step]
        return found

    def translated(self, key: str) -> bool:
        """Return whether the language that is spoken has words of its own under a key; true for English."""
        translation = spoken()
        found = translation.texts.get(_place(self.path)) if translation else self.tree
        for step in key.split("."):
            found = found.get(step) if isinstance(found, dict) else None
        return found is not None

    def say(self, key: str, /, **values: object) -> str:
        """Return the message under a key, with values for its ``{names}``.

        Values are inserted as text and never interpreted as a pattern. From a table of plurals, the form for
        ``count`` in the language is used, or ``other`` if that form is absent.

        Raises
        ------
        LookupError
            If there is no such message, or a name in it has no value.
        """
        wording = self[key]
        if isinstance(wording, dict) and "other" in wording and "count" in values:
            rules = speech() if self.translated(key) else ENGLISH
            wording = wording.get(rules.plural(cast(float, values["count"])), wording["other"])
        if not isinstance(wording, str):
            raise LookupError(f"{self}: '{key}' is not a wording")
        try:
            return wording.format_map(values)
        except KeyError as error:
            raise LookupError(f"{self}: '{key}' asks for {{{error.args[0]}}}") from error


class ModuleMessages(Messages):
    """The catalogue beside a module, such as `units.en.yml`.

    Parameters
    ----------
    file : str
        The module's ``__file__``.
    """

    def __init__(self, file: str) -> None:
        super().__init__("", Path(file).stem)
        self.path = _words_of(Path(file))

    def __str__(self) -> str:
        return self.path.name


def beside(file: Path) -> Any:
    """Return the content of the catalogue beside a file, in the language that is spoken.

    Parameters
    ----------
    file : Path
        Its catalogue has the same name, followed by the language and ``.yml``.

    Raises
    ------
    LookupError
        If there is no such catalogue.
    """
    words = _words_of(file)
    try:
        return _read(words)
    except FileNotFoundError as error:
        raise LookupError(f"{file.name}: its words are missing: {words.name}") from error


def catalogues() -> dict[str, Path]:
    """Return every English catalogue by its place: its path below `vandoc`, without what names the language.

    A language has its words at the same place in a folder of its own: `pages/manual/words.yml`,
    `ground/units.yml`.
    """
    found = [*ROOT.rglob(f"messages/{LANGUAGE}/**/*.yml"), *ROOT.rglob(f"*.{LANGUAGE}.yml")]
    return {_place(path): path for path in sorted(found)}


def content_of(file: Path) -> Any:
    """Return the content of a catalogue as it is written."""
    return yaml.load(file.read_text("utf-8"), getattr(yaml, "CSafeLoader", yaml.SafeLoader))


def is_plural(tree: object) -> bool:
    """Return whether an entry is a table of plurals, which a language replaces as a whole."""
    return isinstance(tree, dict) and "other" in tree and set(tree) <= PLURALS


def _words_of(file: Path) -> Path:
    return file.with_suffix(f".{LANGUAGE}.yml")


def _place(path: Path) -> str:
    if not path.is_relative_to(ROOT):
        return ""  # of a package of others, which no language translates
    place = path.relative_to(ROOT).as_posix()
    return place.replace(f"messages/{LANGUAGE}/", "").replace(f".{LANGUAGE}.yml", ".yml")


def _read(path: Path) -> Any:
    english = content_of(path)
    translation = spoken()
    words = _merged(english, translation.texts.get(_place(path))) if translation else english
    return words if measures() == METRIC else _in_house(words)


def _in_house(words: Any) -> Any:
    if isinstance(words, dict):
        return {key: _in_house(value) for key, value in words.items()}
    if isinstance(words, list):
        return [_in_house(value) for value in words]
    return in_house(words) if isinstance(words, str) else words


def _merged(english: Any, own: Any) -> Any:
    """Return a catalogue's content with the words of a language in place of English where it has them."""
    if own is None:
        return english
    if not isinstance(english, dict) or is_plural(english):
        return own
    return {key: _merged(value, own.get(key)) for key, value in english.items()}
