"""Charging: constant current first, then a current that tapers with the charge still missing.

A charger holds its current until the battery reaches the absorption voltage; from then on the charging
current falls. Both limits are expressed in charge: the current is at most ``acceptance · missing``,
Woodbridge's ampere-hour law with a factor. The same falling curve follows from a fixed absorption voltage
behind a resistance if the open-circuit voltage rises linearly with the charge.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, log

from vandoc.ground.calc.require import finite, not_negative, positive
from vandoc.ground.data import constant


@dataclass(frozen=True)
class Battery:
    """Battery data needed to calculate charging.

    Attributes
    ----------
    capacity_ah : float
        Above 0. [Ah]
    acceptance_per_h : float
        Charge acceptance: largest charging current divided by the charge still missing, above 0. [1/h]
    efficiency : float
        Charge efficiency: charge stored divided by charge put in, above 0, at most 1. [1]
    limit_a : float
        Charging current limit, above 0; infinite if there is none. [A]
    """

    capacity_ah: float
    acceptance_per_h: float
    efficiency: float
    limit_a: float = inf

    def __post_init__(self) -> None:
        positive("capacity_ah", self.capacity_ah)
        positive("acceptance_per_h", self.acceptance_per_h)
        if positive("efficiency", self.efficiency) > 1:
            raise ValueError(f"efficiency must not be above 1, got {self.efficiency!r}")
        if not self.limit_a > 0:
            raise ValueError(f"limit_a must be above 0, got {self.limit_a!r}")


@dataclass(frozen=True)
class ChargePoint:
    """State of charge [1] and current into the battery [A] at one time [h]."""

    hours: float
    soc: float
    current_a: float


def constant_current_hours(missing_ah: float, current_a: float, efficiency: float) -> float:
    """Return the time to restore a charge at constant current, without taper.

    Parameters
    ----------
    missing_ah : float
        Charge to restore, scalar, at least 0. [Ah]
    current_a : float
        Scalar, above 0. [A]
    efficiency : float
        Charge efficiency: charge stored divided by charge put in, scalar, above 0, at most 1. [1]

    Returns
    -------
    float
        Time, scalar. [h]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(constant_current_hours(100.0, 40.0, 0.85), 2)
    2.94

    References
    ----------
    .. [1] Conservation of charge: t = Q / (I · η).
    """
    if positive("efficiency", efficiency) > 1:
        raise ValueError(f"efficiency must not be above 1, got {efficiency!r}")
    return not_negative("missing_ah", missing_ah) / (positive("current_a", current_a) * efficiency)


def hours_to_full(battery: Battery, soc: float, current_a: float) -> float:
    """Return the time until a battery counts as full at constant charger output, taper included.

    Parameters
    ----------
    battery : Battery
        The battery.
    soc : float
        Initial state of charge, scalar, 0 to 1. [1]
    current_a : float
        Charger current available to the battery, scalar, at least 0. [A]

    Returns
    -------
    float
        Time, scalar; infinite if the current is 0. [h]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(hours_to_full(Battery(100.0, 1.0, 0.85), 0.5, 10.0), 1)
    7.4

    References
    ----------
    .. [1] Woodbridge 1935, the ampere-hour law: the current in amperes must not exceed the charge still
       missing in ampere-hours, hence a current that falls exponentially.
    """
    current = min(not_negative("current_a", current_a), battery.limit_a)
    full = constant("full charge").value
    if _soc(soc) >= full:
        return 0.0
    if current == 0:
        return inf
    missing, end = (1 - soc) * battery.capacity_ah, (1 - full) * battery.capacity_ah
    turn = min(missing, max(end, current / battery.acceptance_per_h))
    steady = constant_current_hours(missing - turn, current, battery.efficiency)
    return steady + log(turn / end) / (battery.acceptance_per_h * battery.efficiency)


def course(
    battery: Battery, soc: float, supply_a: Sequence[float], step_h: float, horizon_h: float
) -> tuple[ChargePoint, ...]:
    """Return the course of charging from a supply that repeats periodically, such as daily solar power.

    Parameters
    ----------
    battery : Battery
        The battery.
    soc : float
        Initial state of charge, scalar, 0 to 1. [1]
    supply_a : sequence of float
        Net current into the battery in each step, repeated from the first; negative if more is drawn than
        supplied. Shape ``(n,)``, at least one. [A]
    step_h : float
        Length of a step, scalar, above 0. [h]
    horizon_h : float
        Maximum time to simulate, scalar, above 0. [h]

    Returns
    -------
    tuple of ChargePoint
        The start, then the end of each step until full or the horizon; the current is the mean of the
        step. Within a step the tapering current is solved exactly.

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> points = course(Battery(100.0, 1.0, 1.0), 0.8, [10.0], 0.5, 24.0)
    >>> [round(point.soc, 3) for point in points[:3]], points[-1].soc >= 0.99
    ([0.8, 0.85, 0.9], True)

    References
    ----------
    .. [1] As :func:`hours_to_full`.
    """
    positive("step_h", step_h)
    positive("horizon_h", horizon_h)
    if not supply_a:
        raise ValueError("supply_a must have at least one step")
    full = constant("full charge").value
    points = [ChargePoint(0.0, _soc(soc), 0.0)]
    missing = (1 - soc) * battery.capacity_ah
    steps = 0
    while points[-1].soc < full and points[-1].hours < horizon_h:
        supply = finite("supply_a", supply_a[steps % len(supply_a)])
        steps += 1
        before, missing = missing, _missing_after(battery, missing, supply, step_h)
        kept = battery.efficiency if missing < before else 1.0
        current = (before - missing) / step_h / kept
        points.append(ChargePoint(steps * step_h, 1 - missing / battery.capacity_ah, current))
    return tuple(points)


def _missing_after(battery: Battery, missing_ah: float, supply_a: float, step_h: float) -> float:
    """Charge still missing after a step at constant supply current."""
    if supply_a <= 0:
        return min(battery.capacity_ah, missing_ah - supply_a * step_h)
    current = min(supply_a, battery.limit_a)
    turn = current / battery.acceptance_per_h
    steady_h = 0.0
    if missing_ah > turn:
        steady_h = min(step_h, (missing_ah - turn) / (current * battery.efficiency))
        missing_ah -= steady_h * current * battery.efficiency
    return missing_ah * exp(-battery.acceptance_per_h * battery.efficiency * (step_h - steady_h))


def _soc(soc: float) -> float:
    if not 0 <= finite("soc", soc) <= 1:
        raise ValueError(f"soc must be 0 to 1, got {soc!r}")
    return soc
