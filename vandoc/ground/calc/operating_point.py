"""Operating point of a DC network with constant-power loads and current-limited supplies.

A constant-power load draws more current as its voltage falls, so a network may have two solutions or none.
Newton's method starts above the upper, normal solution and descends to it: because the current of
each load is convex in its voltage, each step stays above the solution; if none exists, the matrix ceases
to be positive definite or a load is starved. The loads are then raised from zero to the highest share that
can be supplied, to find the loads whose voltage collapses.
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

MAX_ROUNDS = 200  # far more than the warming of conductors needs to converge
ROUGH_V = 1e-3  # tolerance while conductor temperatures are only estimated
CONVERGENCE = 1e-4  # largest relative change of a wire's resistance at convergence
HALF = 0.6  # a single load collapses at half the open-circuit voltage; found from above


@dataclass(frozen=True, slots=True)
class SelfHeating:
    """Rise of a wire's resistance as its current warms it, proportional to the square of the current.

    Attributes
    ----------
    ohm : float
        Added resistance at `amps`, and its maximum. [Ω]
    amps : float
        Above 0. [A]
    """

    ohm: float
    amps: float


@dataclass(frozen=True)
class OperatingPoint:
    """Solution of a network: consistent voltages and currents.

    Attributes
    ----------
    volts : mapping
        By node, without nodes that no source reaches. Each separate part of the wiring has its own 0 V. [V]
    amps : mapping
        By wire, from its start to its end. [A]
    device_amps : dict
        Current into the positive terminal of a load or inlet, or out of that of a battery or supply. [A]
    ohms : mapping
        By wire, at working temperature. [Ω]
    unfed : tuple of str
        Loads and supplies that no source reaches, or with reversed polarity.
    """

    volts: Mapping[str, float]
    amps: Mapping[str, float]
    device_amps: dict[str, float]
    ohms: Mapping[str, float]
    unfed: tuple[str, ...]


@dataclass(frozen=True)
class NoOperatingPoint:
    """No operating point exists (voltage collapse): the loads demand more than the wiring can deliver.

    Attributes
    ----------
    loads : dict
        The loads that cannot be supplied, and the voltage at which each collapses. [V]
    share : float
        Fraction of all loads that can be supplied, 0 to 1. [1]
    settles : bool
        False if the calculation did not converge, even without load; no current is then known.
    """

    loads: dict[str, float]
    share: float
    settles: bool = True


class OperatingNet:
    """Network whose wire resistances can change between solutions.

    Parameters
    ----------
    wires : mapping
        Name of each wire, fuse or contact, mapped to the nodes it connects.
    devices : sequence of Device
        Inlets are added with their supplies. A supply with a dead inlet delivers nothing.

    Raises
    ------
    ValueError
        If a wire or device has both ends on one node, or two devices have the same name.

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
       non-negative inverse; loads raised along the stable branch: textbook methods, from memory.
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
            Rise of wire resistance with current, by wire.
        search : bool
            Whether to search for the loads that collapse if there is no operating point; slow.

        Returns
        -------
        OperatingPoint or NoOperatingPoint
            Voltages are accurate to 1e-9 V, warm resistances to a relative 1e-4.

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
        for _ in range(MAX_ROUNDS):
            self._balance.resist(warm)
            try:
                self._balance.settle(1.0, tolerance_v)
            except NoBalanceError:
                if not search:
                    return NoOperatingPoint({}, 0.0)
                return self._turn_up(warm, ohms, warming)
            if not gains or (not self._warm_up(gains, warm) and tolerance_v == TOLERANCE_V):
                return self._found(warm)
            tolerance_v = TOLERANCE_V
        return NoOperatingPoint(dict.fromkeys(self._balance.loads(), 0.0), 0.0, settles=False)

    def _warm_up(self, gains: list[tuple[int, float, SelfHeating]], warm: list[float]) -> bool:
        """Update each wire's resistance for its current; return whether any changed."""
        amps = self._balance.wire_amps()
        changed = False
        for number, cold, gain in gains:
            heating = (amps[number] / gain.amps) ** 2
            ohm = cold + gain.ohm * heating if heating < 1.0 else cold + gain.ohm
            if abs(ohm - warm[number]) > CONVERGENCE * ohm:
                warm[number] = ohm
                changed = True
        return changed

    def _lay_out(self) -> Balance:
        """Find the live part; a supply counts as a source once its inlet is supplied."""
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
        """Raise the loads from zero to the highest share that can be supplied."""
        balance = self._balance
        balance.forget()
        try:
            balance.settle(0.0)
        except NoBalanceError:
            return NoOperatingPoint(dict.fromkeys(balance.loads(), 0.0), 0.0, settles=False)
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
        if not fallen:  # every supply at its limit: the wiring is not the cause
            parts = balance.parts_without_battery()
            fallen = {name: value for name, value in volts.items() if name in parts} or volts
        return NoOperatingPoint(fallen, low)
