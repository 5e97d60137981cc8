"""Escaping of text from a van file; no other module does this.

Pages are Markdown that carries HTML, so a value must be inert in both. Templates run in an environment that
escapes every value but `Markup` text, which only the manual's own macros and helpers make.
"""

import re
import unicodedata
from collections.abc import Callable, Iterable
from functools import cache, lru_cache
from html import escape
from importlib.resources import files
from pathlib import Path
from typing import Any, cast

from jinja2 import Environment, FileSystemBytecodeCache, FileSystemLoader, StrictUndefined

from vandoc.ground.figures import day, number
from vandoc.ground.measures import in_house
from vandoc.ground.messages import LANGUAGE, Messages
from vandoc.ground.speech import speech

HERE = Path(str(files("vandoc.pages.manual")))
WORDS, TROUBLE = Messages("vandoc.pages.manual", "words"), Messages("vandoc.pages.manual", "trouble")
say, tell = WORDS.say, TROUBLE.say

# Not escaped: letters, digits, spaces, commas; a hyphen between letters or digits; a full stop after a letter
# or before a letter or digit. All other ASCII punctuation has a meaning somewhere in Markdown or HTML.
_RISKY = re.compile(
    r"[!-+/:-@\[-`{-~]"
    r"|(?<![^\W_])-|-(?![^\W_])"
    r"|(?<![^\W\d_])\.(?![^\W_])"
)
_SPACES = re.compile(r"[\s\x1c-\x1f\x85\u2028\u2029]+")
_KEPT_SPACES = "\u00a0\u202f"  # between a number and its unit


class Markup(str):
    """Safe markup, made by a template or a helper of the manual and never taken from a van file."""

    __slots__ = ()


def clean(text: str) -> str:
    """Return text on one line, without control, bidi-override, surrogate or unassigned code points."""
    if text.isascii() and text.isprintable() and "  " not in text:
        return text
    kept = (char for char in text if char in "\u200c\u200d" or char.isspace() or _shown(char))
    parts = re.split(f"([{_KEPT_SPACES}])", "".join(kept))
    return "".join(part if part in _KEPT_SPACES else _SPACES.sub(" ", part) for part in parts)


@cache
def _shown(char: str) -> bool:
    return unicodedata.category(char) not in {"Cc", "Cf", "Cs", "Cn", "Co"}


@lru_cache(maxsize=None, typed=True)  # the same names occur on many pages
def escape_text(text: str) -> Markup:
    """Return text that is inert in Markdown, in HTML text, in a table cell and in an attribute.

    Examples
    --------
    >>> escape_text("hook-up, 12.5 V")
    'hook-up, 12.5 V'
    >>> escape_text("<b>*x*")
    '&#60;b&#62;&#42;x&#42;'
    >>> escape_text("1. item")
    '1&#46; item'
    """
    return Markup(_inert(clean(text).strip()))


def _inert(text: str) -> str:
    return _RISKY.sub(lambda match: f"&#{ord(match[0])};", text)


def escape_title(text: str) -> str:
    """Return text for a page title or menu, where HTML is interpreted but Markdown is not."""
    return escape(clean(text).strip())


def trust(value: object) -> Markup:
    """Return a value as markup: unchanged if it is `Markup`, otherwise escaped."""
    return value if isinstance(value, Markup) else escape_text(str(value))


def joined(*parts: object) -> Markup:
    """Return several values as one markup text; spaces at their ends are kept."""
    return Markup("".join(part if isinstance(part, Markup) else _inert(clean(str(part))) for part in parts))


def sourced(source: str, from_memory: bool) -> str:
    """Return a source, marked if the figure was recalled and not checked against the document."""
    source = in_house(source)
    return say("from_memory", source=source) if from_memory else source


def upper_first(text: str) -> str:
    """Return text with its first letter capitalised, for the beginning of a sentence."""
    return type(text)(text[:1].upper() + text[1:])


def listed(items: Iterable[object]) -> Markup:
    """Return values as a Markdown list, one line each."""
    return Markup("\n".join(f"- {trust(item)}" for item in items))


def together(items: Iterable[object]) -> Markup:
    """Return values as one list within a sentence: `a, b and c`."""
    return Markup(enumerated(trust(item) for item in items))


def enumerated(items: Iterable[str]) -> str:
    """Return plain text as one list within a sentence.

    Examples
    --------
    >>> enumerated(["a", "b", "c"])
    'a, b and c'
    """
    return speech().listed(items)


@cache
def _page_words() -> dict[str, Messages]:
    """The catalogue of each template by its name; each is read when first asked for."""
    folder = HERE / "messages" / LANGUAGE
    files_ = sorted((folder / "pages").rglob("*.yml"))
    return {
        path.stem: Messages("vandoc.pages.manual", path.relative_to(folder).with_suffix("").as_posix())
        for path in files_
    }


def catalogue(key: str) -> tuple[Messages, str]:
    """Return the message file that a key in a template means, and the key in it.

    The first step names the catalogue of a template; without one, the key is of `words.yml`.
    """
    name, _, rest = key.partition(".")
    own = _page_words().get(name)
    return (own, rest) if own and rest and rest.partition(".")[0] in own.tree else (WORDS, key)


def say_markup(key: str, /, **values: object) -> Markup:
    """Return a wording for a page: its own Markdown and HTML are kept, its values are escaped.

    Raises
    ------
    LookupError
        If there is no such wording, or a name in it has no value.
    """
    messages, rest = catalogue(key)
    count = values.get("count")
    shown = {name: trust(value) for name, value in values.items()}
    return Markup(messages.say(rest, **shown | ({"count": count} if isinstance(count, int) else {})))


def labels(items: Iterable[Any]) -> list[str]:
    """Return the labels of places."""
    return [item.label for item in items]


def _compiled_templates() -> FileSystemBytecodeCache | None:
    """The cache of compiled templates between builds, in a folder that only this user can write."""
    try:
        return FileSystemBytecodeCache()
    except (OSError, RuntimeError):  # without such a folder, templates are compiled each time
        return None


@cache
def environment() -> Environment:
    """Return the environment of the page templates, made once.

    A value in ``{{ }}`` is escaped unless it is `Markup`. The macros of `macros.md.j2` are available by name
    in every template, and their results are trusted.
    """
    env = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        finalize=trust,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        bytecode_cache=_compiled_templates(),
    )
    env.filters = {
        "number": number,
        "day": day,
        "capital": upper_first,
        "listed": listed,
        "together": together,
        "enumerated": enumerated,
        "labels": labels,
        "made": Markup,
        "length": len,
    }
    env.globals = {"joined": joined, "say": say_markup}
    for source in ("macros.md.j2", "phrases.md.j2"):
        module = env.get_template(source).module
        env.globals |= {name: _trusting(getattr(module, name)) for name in vars(module) if name[0] != "_"}
    return env


def macro(name: str) -> Callable[..., Markup]:
    """Return a macro of the manual's vocabulary."""
    return cast(Callable[..., Markup], environment().globals[name])


def _trusting(made: Callable[..., str]) -> Callable[..., Markup]:
    return lambda *args, **named: Markup(made(*args, **named))
