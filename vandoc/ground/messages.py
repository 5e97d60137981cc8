"""Messages of a package: YAML files in its `messages/<language>/`, each read on first use."""

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

    def __str__(self) -> str:
        return f"{self.package.replace('.', '/')}/messages/{LANGUAGE}/{self.name}.yml"

    @cached_property
    def tree(self) -> Any:
        """Whole content of the file."""
        text = files(self.package).joinpath("messages", LANGUAGE, f"{self.name}.yml").read_text("utf-8")
        return _load(text)

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
            wording = wording.get(SPEECH.plural(cast(float, values["count"])), wording["other"])
        if not isinstance(wording, str):
            raise LookupError(f"{self}: '{key}' is not a wording")
        try:
            return wording.format_map(values)
        except KeyError as error:
            raise LookupError(f"{self}: '{key}' asks for {{{error.args[0]}}}") from error


def beside(file: Path) -> Any:
    """Return the content of the message file beside a module, in vandoc's language.

    Parameters
    ----------
    file : Path
        The module; its message file has the same name, followed by the language and ``.yml``.

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
