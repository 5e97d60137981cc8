"""The value of something that is fitted and that nobody knows, and of a result that depends on it.

Neither is a number: figures show both in words, and a comparison with one is false. The value of a key that
the van file leaves out is None instead: it is open, and a size for it may be proposed.
"""

from typing import Any

from vandoc.ground.messages import ModuleMessages

say = ModuleMessages(__file__).say

WORD = "unknown"
"""How a van file states it."""


class NoNumber(float):
    """A float that is not a number, shown in words; a sum with one is one of which nobody can tell."""

    key: str

    def __new__(cls, key: str) -> "NoNumber":
        made = super().__new__(cls, "nan")
        made.key = key
        return made

    def __eq__(self, other: object) -> bool:
        return isinstance(other, NoNumber) and other.key == self.key

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(self.key)

    def __str__(self) -> str:
        return say(self.key)

    def __repr__(self) -> str:
        return self.key

    def __format__(self, _spec: str) -> str:
        return str(self)

    def _no_result(self, *_others: object) -> "NoNumber":
        return CANNOT_TELL

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = _no_result
    __truediv__ = __rtruediv__ = __pow__ = __rpow__ = __neg__ = __abs__ = _no_result
    __round__ = __floordiv__ = __rfloordiv__ = __mod__ = _no_result  # type: ignore[assignment]

    def __deepcopy__(self, _memo: object) -> "NoNumber":
        return self

    def __reduce__(self) -> tuple[type["NoNumber"], tuple[str]]:
        return NoNumber, (self.key,)


class UnknownText(str):
    """A choice that nobody knows, such as the type of a fuse; shown in words."""

    __slots__ = ()

    def __str__(self) -> str:
        return say(WORD)


class UnknownList(list[str]):
    """A list with unknown entries, such as the places that a cable passes; it reads as empty."""


UNKNOWN = NoNumber(WORD)
CANNOT_TELL = NoNumber("cannot_tell")
UNKNOWN_TEXT = UnknownText(WORD)


def is_unknown(value: Any) -> bool:
    """Return whether a value of the model is stated as unknown.

    Examples
    --------
    >>> is_unknown(UNKNOWN), is_unknown(None), is_unknown(CANNOT_TELL), is_unknown(4.2)
    (True, False, False, False)
    """
    return value is UNKNOWN or isinstance(value, UnknownText | UnknownList)


def cannot_tell(value: float) -> bool:
    """Return whether a figure is not a number: unknown, or a result that depends on what is.

    Examples
    --------
    >>> cannot_tell(UNKNOWN + 1), cannot_tell(4.2)
    (True, False)
    """
    return isinstance(value, NoNumber)


def in_words(value: float) -> str:
    """Return what stands in the place of a figure that is not a number.

    Examples
    --------
    >>> in_words(UNKNOWN), in_words(2 * UNKNOWN)
    ('unknown', 'cannot tell')
    """
    return str(value if isinstance(value, NoNumber) else CANNOT_TELL)
