"""Times for owners, rounded in steps by one table that the page's script uses as well.

A single time is rounded and says "about"; a range does not, and has its unit once.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor, inf, isinf

from vandoc.ground.figures.numbers import Sure, number
from vandoc.ground.figures.times import LONGEST_H
from vandoc.ground.figures.words import WORDS, say

OWNERS_DIGITS = 2
YEAR_H = 365.25 * 24
_DUST = 1e-9


@dataclass(frozen=True)
class Scale:
    """Format of times up to a length.

    Attributes
    ----------
    name : str
        Name of the unit, a key of the message file.
    below_h : float
        Upper limit of the scale, exclusive. [h]
    unit_h : float
        Hours in one unit.
    per_unit : int
        Steps per unit for a time in a range.
    alone : int
        Number of these steps in one step of a single time.
    exceeded : bool
        Whether an available time is written as more than a number of steps instead of about that number.
    """

    name: str
    below_h: float
    unit_h: float
    per_unit: int = 1
    alone: int = 1
    exceeded: bool = False

    @property
    def step_h(self) -> float:
        """Step of a time in a range. [h]"""
        return self.unit_h / self.per_unit


SCALES = (
    Scale("minutes", 1.0, 1 / 60, alone=5),
    Scale("hours", LONGEST_H, 1.0),
    Scale("days", 15 * 24.0, 24.0, per_unit=2),
    Scale("weeks", 2 * YEAR_H / 12, 7 * 24.0, exceeded=True),
    Scale("months", 2 * YEAR_H, YEAR_H / 12),
    Scale("years", inf, YEAR_H),
)


def owners_time(hours: float, sure: Sure = "nearest", *, in_days: bool = False) -> str:
    """Format a time for owners.

    Parameters
    ----------
    hours : float
        Zero or more, finite. [h]
    sure : {"nearest", "down", "up"}
        `down` for how long something lasts, `up` for how long it takes.
    in_days : bool
        Whether to use days or longer units whatever its length, because only daytime counts.

    Examples
    --------
    >>> [owners_time(h).replace("\\xa0", " ") for h in (0.555, 1.2, 69.0, 1500.0)]
    ['about 35 minutes', 'about 1 hour', 'about 3 days', 'about 2 months']
    >>> [owners_time(h, "down").replace("\\xa0", " ") for h in (0.04, 0.555, 69.0, 626.0, 90000.0)]
    ['less than 5 minutes', 'about 30 minutes', 'about 2½ days', 'more than 3 weeks', 'about 10 years']
    """
    scale = _scale(max(hours, LONGEST_H) if in_days else hours)
    step_h = scale.step_h * scale.alone
    if sure == "down" and scale.exceeded:
        return say("more_than", time=_named(scale, ceil(hours / step_h - _DUST) - 1))
    count = _steps(hours, step_h, sure) * scale.alone
    if not count:
        return say("less_than", time=_named(scale, scale.alone)) if hours else say("no_time")
    return say("about", time=_named(scale, count))


def owners_times(low_h: float, high_h: float, sure: Sure = "nearest") -> str:
    """Format a range of times for owners, in the unit of the longer end.

    The shorter end keeps its own unit if it is less than one step of the other.

    Examples
    --------
    >>> ends = (0.555, 0.974), (22.6, 35.8), (42.0, 69.4)
    >>> [owners_times(*one, "down").replace("\\xa0", " ") for one in ends]
    ['33 to 58 minutes', '22 to 35 hours', '1½ to 2½ days']
    >>> owners_times(0.4, 5.0, "down"), owners_times(26.0, 26.9, "down")
    ('24\\xa0minutes to 5\\xa0hours', 'about 26\\xa0hours')
    """
    scale = _scale(high_h)
    if scale.name == "hours" and low_h < 1 and high_h < 2:
        scale = SCALES[0]
    low, high = (_steps(end, scale.step_h, sure) for end in (low_h, high_h))
    if low == high:
        return owners_time(low_h, sure) if low else owners_time(high_h, sure)
    if low:
        return say("range", low=_count(scale, low), high=_named(scale, high))
    own = _scale(low_h)
    least = _steps(low_h, own.step_h, sure)
    return say("range", low=_named(own, least) if least else "0", high=_named(scale, high))


def owners_number(value: float, sure: Sure = "nearest") -> str:
    """Format a number for owners: at most two digits.

    Examples
    --------
    >>> owners_number(5.26), owners_number(83.4), owners_number(347.0)
    ('5.3', '83', '350')
    """
    return number(value, OWNERS_DIGITS, sure)


def owners_scales() -> Iterator[dict[str, float | str | bool | None]]:
    """Yield the table for a single available time, for a script: `owners_time(hours, "down")`.

    Yields
    ------
    dict
        For each scale: `below`, its exclusive upper limit, None if there is none [h]; `step` [h];
        `count`, the units in a step; `exceeded`; the words `one` and `many`, with `#` for the number, and
        `less` for less than one step.
    """
    for scale in SCALES:
        key = "more_than" if scale.exceeded else "about"
        unit: dict[str, str] = WORDS[f"owners.{scale.name}"]
        words = {many: say(key, time=text.format(count="#")) for many, text in unit.items()}
        yield {
            "below": None if isinf(scale.below_h) else scale.below_h,
            "step": scale.step_h * scale.alone,
            "count": scale.alone / scale.per_unit,
            "exceeded": scale.exceeded,
            "less": say("less_than", time=_named(scale, scale.alone)),
            **words,
        }


def _scale(hours: float) -> Scale:
    return next(scale for scale in SCALES if hours < scale.below_h)


def _steps(hours: float, step_h: float, sure: Sure) -> int:
    steps = hours / step_h
    return {"down": floor(steps + _DUST), "up": ceil(steps - _DUST), "nearest": floor(steps + 0.5)}[sure]


def _count(scale: Scale, steps: int) -> str:
    whole, half = divmod(steps, scale.per_unit)
    return f"{whole or ''}½" if half else str(whole)


def _named(scale: Scale, steps: int) -> str:
    one = steps <= scale.per_unit
    return say(f"owners.{scale.name}.{'one' if one else 'many'}", count=_count(scale, steps))
