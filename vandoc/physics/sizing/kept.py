"""Sizes that were too small once and do not become as small again, so that choosing them comes to an end."""

from collections.abc import Mapping


class KeptSizes:
    """The least sizes that are known from earlier rounds.

    A smaller cable may need a larger one: its resistance raises the current of loads of constant power, which
    it then cannot carry, while at the larger size the current fits the smaller one. So a size that shrank and
    had to grow again stays. Each size then goes up, down and up again at most, through finitely many sizes.
    """

    def __init__(self) -> None:
        self._shrunk: set[str] = set()
        self._least: dict[str, float] = {}

    def follow(self, before: Mapping[str, float], after: Mapping[str, float]) -> None:
        """Note what shrank in a round, and what had to grow after it had shrunk in an earlier one."""
        for ident, size in after.items():
            if size < before[ident]:
                self._shrunk.add(ident)
            elif size > before[ident] and ident in self._shrunk:
                self._least[ident] = size

    def least(self, ident: str) -> float:
        """Return the size below which a proposal does not go; 0 if there is none."""
        return self._least.get(ident, 0.0)
