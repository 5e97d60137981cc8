"""The operating point of a direct-current network with loads of constant power and limited supplies.

A load of constant power draws more as its voltage falls, so a network may have two solutions or none.
Newton's method starts above the upper one, where all is normal, and comes down to it: with the current of
each load convex in its voltage, each step stays above the solution, and where there is none the matrix stops
being positive definite or a load starves. Then the loads are turned up from nothing until they can be fed no
further, and what gives way is named.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite

from vandoc.ground.calc.balance import TOLERANCE_V, Balance
from vandoc.ground.calc.chains import Ends, skeleton
from vandoc.ground.calc.devices import Battery, Device, Load, Supply
from vandoc.ground.calc.inlets import NoBalanceError
from vandoc.ground.calc.named_numbers import NamedNumbers
from vandoc.ground.calc.require import positive

ROUNDS = 60  # far more than warming takes to settle
ROUGH_V = 1e-3  # near enough for a first guess at warmth
SETTLED = 1e-4  # part of its resistance that a wire may still change by
HALF = 0.6  # a lone load gives way at half its open voltage; found from above, so a little more


@dataclass(frozen=True, slots=True)
class SelfHeating:
    """How a wire gains resistance as its current warms it: with the square of the current.

    Attributes
    ----------
    ohm : float
        What it gains at `amps`, and at most. [Ω]
    amps : float
        Above 0. [A]
    """

    ohm: float
    amps: float


@dataclass(frozen=True)
class OperatingPoint:
    """Voltages and currents that agree.

    Attributes
    ----------
    volts : mapping
        By node; nodes that no source reaches are missing. Each part of the wiring has its own 0 V. [V]
    amps : mapping
        By wire, from its start to its end. [A]
    device_amps : dict
        What a load or inlet takes at its plus, what a battery or supply gives there. [A]
    ohms : mapping
        By wire, warm. [Ω]
    unfed : tuple of str
        Loads and supplies that nothing reaches, or that are wired the wrong way round.
    """

    volts: Mapping[str, float]
    amps: Mapping[str, float]
    device_amps: dict[str, float]
    ohms: Mapping[str, float]
    unfed: tuple[str, ...]


@dataclass(frozen=True)
class NoOperatingPoint:
    """No voltages and currents agree: the loads ask for more than the wiring can carry to them.

    Attributes
    ----------
    loads : dict
        The loads that cannot be fed, and the voltage that they fall to before they give way. [V]
    share : float
        How far all loads could be turned up, 0 to 1. [1]
    """

    loads: dict[str, float]
    share: float


class OperatingNet:
    """A network whose wires can change their resistance.

    Parameters
    ----------
    wires : mapping
        Name of each wire, fuse or contact to the nodes it joins.
    devices : sequence of Device
        Inlets come with their supplies. A supply whose inlet is dead gives nothing.

    Raises
    ------
    ValueError
        If a wire or device has both ends on one node, or the name of a device comes twice.

    Examples
    --------
    >>> net = OperatingNet(
    ...     {"out": ("b+", "l+"), "back": ("l-", "b-")},
    ...     [Battery("house", "b+", "b-", 12.8, 0.005), Load("inverter", "l+", "l-", "power", 1000.0)],
    ... )
    >>> found = net.solve({"out": 0.002, "back": 0.002})
    >>> round(found.volts["l+"] - found.volts["l-"], 3), round(found.amps["out"], 2)
    (12.053, 82.96)
    >>> net.solve({"out": 0.05, "back": 0.05}).share < 0.4
    True

    References
    ----------
    .. [1] Nodal analysis and Newton's method; monotone convergence for convex functions whose Jacobian has a
       non-negative inverse; loads turned up along the stable branch: textbook methods, from memory.
    """

    def __init__(self, wires: Mapping[str, Ends], devices: Sequence[Device]) -> None:
        self._wires = wires
        self._index = {name: number for number, name in enumerate(wires)}
        inlets = [d.inlet for d in devices if isinstance(d, Supply) and d.inlet is not None]
        self._devices: list[Device] = [*devices, *inlets]
        names = [device.name for device in self._devices]
        if len(set(names)) != len(names):
            raise ValueError("the name of a device comes twice")
        for name, (start, end) in wires.items():
            if start == end:
                raise ValueError(f"both ends of {name!r} are {start!r}")
        for device in self._devices:
            if device.plus == device.minus:
                raise ValueError(f"both ends of {device.name!r} are {device.plus!r}")
        self._reversed: set[str] = set()
        self._unfed: list[str] = []
        self._balance = self._lay_out()

    def solve(
        self,
        ohms: Mapping[str, float],
        warming: Mapping[str, SelfHeating] | None = None,
        search: bool = True,
    ) -> OperatingPoint | NoOperatingPoint:
        """Find the operating point.

        Parameters
        ----------
        ohms : mapping
            The resistance of each wire, above 0. [Ω]
        warming : mapping, optional
            How wires that warm gain resistance with their current.
        search : bool
            Whether to search for what gives way where there is no operating point, which takes long.

        Returns
        -------
        OperatingPoint or NoOperatingPoint
            Voltages hold to 1e-9 V, warm resistances to 1e-4 of themselves.

        Raises
        ------
        ValueError
            If a resistance is not a positive number.
        """
        cold = list(map(ohms.__getitem__, self._index))
        if cold and not (min(cold) > 0 and isfinite(sum(cold))):
            for name, value in zip(self._index, cold, strict=True):
                positive(f"the resistance of {name!r}", value)
        found = map(warming.get, self._index) if warming else ()
        gains = [(number, cold[number], gain) for number, gain in enumerate(found) if gain is not None]
        self._balance.forget()
        warm, tolerance_v = list(cold), ROUGH_V if gains else TOLERANCE_V
        for _ in range(ROUNDS):
            self._balance.resist(warm)
            try:
                self._balance.settle(1.0, tolerance_v)
            except NoBalanceError:
                if not search:
                    return NoOperatingPoint({}, 0.0)
                return self._turn_up(warm, ohms, warming)
            if not gains or (not self._warm_up(gains, warm) and tolerance_v == TOLERANCE_V):
                break
            tolerance_v = TOLERANCE_V
        return self._found(warm)

    def _warm_up(self, gains: list[tuple[int, float, SelfHeating]], warm: list[float]) -> bool:
        """Give each wire the resistance of its warmth; return whether that changed any."""
        amps = self._balance.wire_amps()
        changed = False
        for number, cold, gain in gains:
            heating = (amps[number] / gain.amps) ** 2
            ohm = cold + gain.ohm * heating if heating < 1.0 else cold + gain.ohm
            if abs(ohm - warm[number]) > SETTLED * ohm:
                warm[number] = ohm
                changed = True
        return changed

    def _lay_out(self) -> Balance:
        """Find what is live; a supply counts as a source once something feeds its inlet."""
        devices = [d for d in self._devices if d.name not in self._reversed]
        ends = [(device.plus, device.minus) for device in devices]
        wires = list(self._wires.values())
        fed = [
            index
            for index, device in enumerate(devices)
            if isinstance(device, Battery) or (isinstance(device, Supply) and device.inlet is None)
        ]
        passing = [n for n, d in enumerate(devices) if isinstance(d, Load) and d.behaves == "resistance"]
        while True:
            found = skeleton(wires, ends, fed, passing)
            alive = {device.name for index, device in enumerate(devices) if index not in found.dead}
            more = [
                index
                for index, device in enumerate(devices)
                if isinstance(device, Supply)
                and index not in fed
                and device.inlet is not None
                and device.inlet.name in alive
            ]
            if not more:
                break
            fed += more
        idle = {
            index for index, device in enumerate(devices) if (isinstance(device, Supply) and index not in fed)
        }
        live = [d if n not in found.dead and n not in idle else None for n, d in enumerate(devices)]
        self._unfed = [d.name for n, d in enumerate(devices) if live[n] is None]
        self._unfed += sorted(self._reversed)
        return Balance(found, live, len(wires))

    def _found(self, ohms: Sequence[float]) -> OperatingPoint:
        volts, wire_amps, amps = self._balance.read(ohms)
        index = self._index
        return OperatingPoint(
            volts, NamedNumbers(index, wire_amps), amps, NamedNumbers(index, ohms), tuple(self._unfed)
        )

    def _turn_up(
        self, warm: list[float], ohms: Mapping[str, float], warming: Mapping[str, SelfHeating] | None
    ) -> OperatingPoint | NoOperatingPoint:
        """Turn the loads up from nothing, to where they can be fed no further."""
        balance = self._balance
        balance.forget()
        try:
            balance.settle(0.0)
        except NoBalanceError:
            return NoOperatingPoint(dict.fromkeys(balance.draws(), 0.0), 0.0)
        open_volts = balance.draws()
        wrong = {name for name, volts in open_volts.items() if volts <= 0}
        if wrong:
            self._reversed |= wrong
            self._balance = self._lay_out()
            return self.solve(ohms, warming)
        low, high = 0.0, 1.0
        for _ in range(30):
            share = (low + high) / 2
            try:
                balance.settle(share)
                low = share
            except NoBalanceError:
                high = share
        try:
            balance.settle(1.0)
            return self._found(warm)
        except NoBalanceError:
            pass
        volts = balance.draws()
        fallen = {
            name: value
            for name, value in volts.items()
            if value <= max(HALF * open_volts.get(name, value), 2 * balance.least_v)
        }
        if not fallen:  # every supply at its limit: it is not the cable that gives way
            parts = balance.parts_without_battery()
            fallen = {name: value for name, value in volts.items() if name in parts} or volts
        return NoOperatingPoint(fallen, low)
