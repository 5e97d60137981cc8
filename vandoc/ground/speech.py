"""How a language writes numbers, dates and lists, and which plural it takes: CLDR's data, read with Babel."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from babel import Locale

LANGUAGE = "en"
"""The language that is spoken unless another is asked for, and that of the catalogues in vandoc itself."""

MINUS = "\u2212"
"""In every language; CLDR has a hyphen for some, which breaks a line."""

_TERRITORY = {"en": "GB"}


@dataclass(frozen=True)
class Speech:
    """One language with its rules.

    Attributes
    ----------
    language : str
        ISO 639-1.

    Examples
    --------
    >>> speech = Speech("en")
    >>> speech.number("-12.50"), speech.day(date(2026, 5, 12)), speech.month(7)
    ('−12.50', '12 May 2026', 'July')
    >>> speech.listed(["a", "b", "c"]), speech.plural(1), speech.plural(2)
    ('a, b and c', 'one', 'other')
    """

    language: str

    @cached_property
    def locale(self) -> "Locale":
        """CLDR's data of the language, in one territory whose spelling and dates it follows."""
        from babel import Locale  # loaded with the first figure

        return Locale(self.language, _TERRITORY.get(self.language))

    @cached_property
    def _decimal_sign(self) -> str:
        symbols = self.locale.number_symbols
        return str(symbols.get("latn", symbols)["decimal"])  # by numbering system since Babel 2.14

    @property
    def name(self) -> str:
        """What the language calls itself."""
        return str(self.locale.get_display_name() or self.language)

    def number(self, digits: str) -> str:
        """Return rounded digits, written with full stop and hyphen, as the language writes them."""
        return digits.replace(".", self._decimal_sign).replace("-", MINUS)

    def month(self, number: int) -> str:
        """Return the name of a month, 1 to 12, that stands alone."""
        return str(self.locale.months["stand-alone"]["wide"][number])

    def day(self, value: date) -> str:
        """Return a date with the month in words."""
        return self._date("yMMMMd", value)

    def year_month(self, value: date) -> str:
        """Return a month and its year."""
        return self._date("yMMMM", value)

    def listed(self, items: Iterable[str]) -> str:
        """Return items as one list within a sentence."""
        from babel.lists import format_list

        return str(format_list(list(items), locale=self.locale))

    def plural(self, count: float) -> str:
        """Return the plural category that a number takes: ``one``, ``other`` and so on."""
        return str(self.locale.plural_form(count))

    def _date(self, skeleton: str, value: date) -> str:
        from babel.dates import format_skeleton

        return str(format_skeleton(skeleton, value, locale=self.locale))


ENGLISH = Speech(LANGUAGE)
_language: ContextVar[str] = ContextVar("_language", default=LANGUAGE)


def language() -> str:
    """Return the language that is spoken now: ISO 639-1."""
    return _language.get()


def speech() -> Speech:
    """Return the rules of the language that is spoken now."""
    return _speech(_language.get())


@contextmanager
def in_language(spoken: str) -> Iterator[None]:
    """Speak by the rules of a language inside."""
    token = _language.set(spoken)
    try:
        yield
    finally:
        _language.reset(token)


@cache
def _speech(spoken: str) -> Speech:
    return ENGLISH if spoken == LANGUAGE else Speech(spoken)
