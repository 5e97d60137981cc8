"""Named rows of numbers."""

from collections.abc import Iterator, Mapping, Sequence


class NamedNumbers(Mapping[str, float]):
    """Row of numbers read by name; rows of one structure share one index.

    Building a dictionary of a large solution would take longer than finding the solution.

    Parameters
    ----------
    index : mapping
        The position of each name, in order.
    row : sequence of float
        One number for each name.

    Examples
    --------
    >>> volts = NamedNumbers({"house.+": 0, "lamp.+": 1}, [12.8, 12.6])
    >>> volts["lamp.+"], dict(volts)
    (12.6, {'house.+': 12.8, 'lamp.+': 12.6})
    """

    __slots__ = ("_index", "_row")

    def __init__(self, index: Mapping[str, int], row: Sequence[float]) -> None:
        self._index, self._row = index, row

    def __getitem__(self, name: str) -> float:
        return self._row[self._index[name]]

    def __contains__(self, name: object) -> bool:
        return name in self._index

    def __iter__(self) -> Iterator[str]:
        return iter(self._index)

    def __len__(self) -> int:
        return len(self._index)
