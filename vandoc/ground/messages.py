"""The words that a package says: YAML files in its `messages/<language>/`, each read when first asked for."""

from functools import cached_property
from importlib.resources import files
from pathlib import Path
from typing import Any, cast

import yaml

from vandoc.ground.speech import LANGUAGE, SPEECH

__all__ = ["LANGUAGE", "Messages", "beside"]


class Messages:
    """One message file.

    Parameters
    ----------
    package : str
        The package whose file it is.
    name : str
        Of the file below its `messages/<language>/`, without its ending.

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

    def __str__(self) -> str:
        return f"{self.package.replace('.', '/')}/messages/{LANGUAGE}/{self.name}.yml"

    @cached_property
    def tree(self) -> Any:
        """All that stands in the file."""
        text = files(self.package).joinpath("messages", LANGUAGE, f"{self.name}.yml").read_text("utf-8")
        return _load(text)

    def __getitem__(self, key: str) -> Any:
        """Return what stands under a key such as ``"fuse.title"``: a wording, or a list or table of them.

        Raises
        ------
        LookupError
            If nothing stands there.
        """
        found = self.tree
        for step in key.split("."):
            if not isinstance(found, dict) or step not in found:
                raise LookupError(f"{self}: there is no '{key}'")
            found = found[step]
        return found

    def say(self, key: str, /, **values: object) -> str:
        """Return the wording under a key, its ``{names}`` filled in with values.

        Values are put in as text and never read as a pattern. Of a table of plurals, the one that ``count``
        takes in the language is chosen; a plural that is not there is that of ``other``.

        Raises
        ------
        LookupError
            If there is no such wording, or a name in it has no value.
        """
        wording = self[key]
        if isinstance(wording, dict) and "other" in wording and "count" in values:
            wording = wording.get(SPEECH.plural(cast(float, values["count"])), wording["other"])
        if not isinstance(wording, str):
            raise LookupError(f"{self}: '{key}' is not a wording")
        try:
            return wording.format_map(values)
        except KeyError as error:
            raise LookupError(f"{self}: '{key}' asks for {{{error.args[0]}}}") from error


def beside(file: Path) -> Any:
    """Return what the words file beside a module says, in the language of vandoc.

    Parameters
    ----------
    file : Path
        The module; its words are in the file of the same name that ends with the language and ``.yml``.

    Raises
    ------
    LookupError
        If there is no such file.
    """
    words = file.with_suffix(f".{LANGUAGE}.yml")
    try:
        text = words.read_text("utf-8")
    except FileNotFoundError as error:
        raise LookupError(f"{file.name}: its words are missing: {words.name}") from error
    return _load(text)


def _load(text: str) -> Any:
    return yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
