"""Fuses: families, standard ratings, colours and breaking capacity."""

from dataclasses import dataclass
from types import MappingProxyType

from vandoc.ground.calc.require import finite, not_negative, positive
from vandoc.ground.data import constant, rows


@dataclass(frozen=True)
class _FamilyRow:
    family: str
    title: str
    rated_voltage_v: float
    breaking_capacity_a: float
    maximum_rating_a: float
    kind: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class _RatingRow:
    family: str
    rating_a: float
    colour: str | None
    source: str
    from_memory: bool


@dataclass(frozen=True)
class _ColourRow:
    colour: str
    swatch: str


@dataclass(frozen=True)
class Rating:
    """One standard rating of a family, and its body colour if the standard gives one."""

    amps_a: float
    colour: str | None
    source: str
    from_memory: bool


@dataclass(frozen=True)
class BreakingCapacity:
    """Breaking capacity of a fuse at one DC voltage.

    ``kind`` is ``"standard"`` for the value in the standard of the family, ``"trade"`` for a value quoted
    beyond it.
    """

    voltage_v: float
    amps_a: float
    kind: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class FuseFamily:
    """Family of fuse-links; ``breaking`` is sorted by kind and voltage, ``ratings`` by current."""

    name: str
    title: str
    maximum_rating_a: float
    ratings: tuple[Rating, ...]
    breaking: tuple[BreakingCapacity, ...]

    @property
    def rated_voltages_v(self) -> tuple[float, ...]:
        """All rated voltages of the family, lowest first. [V]"""
        return tuple(sorted({breaking.voltage_v for breaking in self.breaking}))


def _families() -> dict[str, FuseFamily]:
    found: dict[str, list[_FamilyRow]] = {}
    for row in rows("fuse_families", _FamilyRow):
        found.setdefault(row.family, []).append(row)
    ratings: dict[str, list[Rating]] = {}
    for rating in rows("fuse_ratings", _RatingRow):
        entry = Rating(rating.rating_a, rating.colour, rating.source, rating.from_memory)
        ratings.setdefault(rating.family, []).append(entry)
    return {
        name: FuseFamily(
            name=name,
            title=table[0].title,
            maximum_rating_a=table[0].maximum_rating_a,
            ratings=tuple(sorted(ratings[name], key=lambda rating: rating.amps_a)),
            breaking=tuple(
                BreakingCapacity(
                    row.rated_voltage_v, row.breaking_capacity_a, row.kind, row.source, row.from_memory
                )
                for row in sorted(table, key=lambda row: (row.kind, row.rated_voltage_v))
            ),
        )
        for name, table in found.items()
    }


FAMILIES = MappingProxyType(_families())
"""Fuse families by their name in a van file."""


def standard_ratings(family: str) -> tuple[float, ...]:
    """Return the standard ratings of a family.

    Parameters
    ----------
    family : str
        A key of ``FAMILIES``.

    Returns
    -------
    Ratings, lowest first. [A]
        Ratings, smallest first. [A]

    Raises
    ------
    ValueError
        If the family is not known.

    Examples
    --------
    >>> standard_ratings("E")
    (20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0)

    References
    ----------
    .. [1] ISO 8820-3:2015; ISO 8820-5, ISO 8820-6, UL 248-15 and trade lists from memory.
    """
    return tuple(rating.amps_a for rating in _family(family).ratings)


def next_rating(family: str, at_least_a: float) -> float | None:
    """Return the lowest standard rating of a family that is not below a current.

    Parameters
    ----------
    family : str
        A key of ``FAMILIES``.
    at_least_a : float
        Current, scalar, at least 0. [A]

    Returns
    -------
    float or None
        Rating, or None if all ratings of the family are below the current. [A]

    Raises
    ------
    ValueError
        If the family is not known or the current is not a finite number of at least 0.

    Examples
    --------
    >>> next_rating("C", 11.0), next_rating("C", 41.0)
    (15.0, None)

    References
    ----------
    .. [1] As :func:`standard_ratings`.
    """
    not_negative("at_least_a", at_least_a)
    return next((amps for amps in standard_ratings(family) if amps >= at_least_a), None)


def colour(family: str, rating_a: float) -> str | None:
    """Return the body colour of a fuse.

    Parameters
    ----------
    family : str
        A key of ``FAMILIES``.
    rating_a : float
        Rating, scalar, above 0. [A]

    Returns
    -------
    str or None
        Colour as named in ISO 8820-3, or None if the standard gives none for this family or rating.

    Raises
    ------
    ValueError
        If the family is not known or the rating is not a positive number.

    Examples
    --------
    >>> colour("C", 5.0), colour("C", 25.0), colour("SF30", 100.0)
    ('light brown', 'natural', None)

    References
    ----------
    .. [1] ISO 8820-3 and DIN 72581-3. At 70 A of type E two printed lists differ: brown here, light brown in
       another.
    """
    positive("rating_a", rating_a)
    return next((rating.colour for rating in _family(family).ratings if rating.amps_a == rating_a), None)


def swatch(colour: str) -> str:
    """Return a screen colour for a colour name of :func:`colour`, shown beside the name.

    Parameters
    ----------
    colour : str
        Colour as named in ISO 8820-3.

    Returns
    -------
    str
        ``"#rrggbb"``, sRGB.

    Raises
    ------
    ValueError
        If the name is not one of the standard's.

    Examples
    --------
    >>> swatch("red")
    '#c9302c'

    References
    ----------
    .. [1] Our own choice; no standard gives screen colours.
    """
    for row in rows("fuse_colours", _ColourRow):
        if row.colour == colour:
            return row.swatch
    raise ValueError(f"no fuse colour is called {colour!r}")


def breaking_capacity(family: str, voltage_v: float, kind: str) -> BreakingCapacity | None:
    """Return the breaking capacity of a family in a system of a given voltage.

    The entry with the lowest rated voltage that is not below the system's applies: a breaking capacity at
    32 V also holds at 24 V, never the reverse.

    Parameters
    ----------
    family : str
        A key of ``FAMILIES``.
    voltage_v : float
        Maximum DC voltage of the system, scalar, above 0. [V]
    kind : str
        ``"standard"`` for the value in the standard, ``"trade"`` for a value quoted beyond it.

    Returns
    -------
    Breaking or None
        None if the family has no such figure at that voltage.

    Raises
    ------
    ValueError
        If the family or the kind is not known or the voltage is not a positive number.

    Examples
    --------
    >>> breaking_capacity("C", 14.8, "standard").amps_a, breaking_capacity("SF51", 58.0, "standard")
    (1000.0, None)

    References
    ----------
    .. [1] ISO 8820-3:2015 (1 kA), ISO 8820-5:2015 and ISO 8820-6:2019 (2 kA), scopes; others from memory.
    """
    positive("voltage_v", voltage_v)
    if kind not in ("standard", "trade"):
        raise ValueError(f"kind must be 'standard' or 'trade', got {kind!r}")
    figures = (entry for entry in _family(family).breaking if entry.kind == kind)
    suited = (entry for entry in figures if entry.voltage_v >= voltage_v)
    return min(suited, key=lambda entry: entry.voltage_v, default=None)


def _family(name: str) -> FuseFamily:
    if name not in FAMILIES:
        raise ValueError(f"fuse family must be one of {', '.join(FAMILIES)}, got {name!r}")
    return FAMILIES[name]


def ambient_fuse_factor(ambient_c: float) -> float:
    """Return the part of its rating that a fuse carries in a hot place.

    1 up to 40 °C, then 0.5 % less for each kelvin; at least 0.

    Parameters
    ----------
    ambient_c : float
        Ambient temperature, scalar. [°C]

    Returns
    -------
    float
        Factor, scalar. [1]

    Raises
    ------
    ValueError
        If the temperature is not finite.

    Examples
    --------
    >>> ambient_fuse_factor(30.0), ambient_fuse_factor(60.0)
    (1.0, 0.9)

    References
    ----------
    .. [1] Published charts for fuses of general use; those for blade fuses give less, the larger decides.
    """
    above = max(0.0, finite("ambient_c", ambient_c) - constant("fuse rated up to").value)
    return max(0.0, 1.0 - constant("fuse rerating").value * above)
