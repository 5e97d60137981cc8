"""Newton's method for the branch currents and junction voltages of a network."""

from collections.abc import Iterator, Sequence

from vandoc.ground.calc.chains import LiveNetwork
from vandoc.ground.calc.devices import Battery, Device, Inlet, Load, Supply
from vandoc.ground.calc.elimination import Elimination, NotPositive
from vandoc.ground.calc.inlets import NoBalanceError, feed
from vandoc.ground.calc.named_numbers import NamedNumbers
from vandoc.ground.calc.ports import LEAK_S, Mode, PowerPort, SupplyPort
from vandoc.ground.calc.routes import Routes

TOLERANCE_V = 1e-9
LOWEST = 0.01  # fraction of the highest source voltage below which a constant-power load cannot be supplied

Kept = tuple[float, list[float] | None, list[Mode], list[tuple[float, float]]]


class Balance:
    """Iterative solution of one live network.

    Parameters
    ----------
    skeleton : LiveNetwork
    devices : sequence of Device or None
        In the network's numbering; None for a dead device.
    wires : int
        Number of wires, dead ones included.
    """

    def __init__(self, skeleton: LiveNetwork, devices: Sequence[Device | None], wires: int) -> None:
        self._skeleton = skeleton
        self._place = {node: place for place, node in enumerate(skeleton.junctions)}
        self._routes = Routes(skeleton, wires)
        self._nodes = {node: number for number, node in enumerate(skeleton.nodes)}
        pairs: dict[tuple[int, int], int] = {}
        self._ends: list[tuple[int, int]] = []  # positive and negative junction of each chain
        self._plain: list[tuple[int, int]] = []  # chain and its slot in the elimination
        self._cells: list[tuple[int, int, Battery]] = []
        self._lamps: list[tuple[int, int, Load]] = []
        self._steady: list[tuple[int, Load]] = []
        self._powers: dict[str, PowerPort] = {}
        self._limits: dict[str, SupplyPort] = {}
        self._amounts = [0.0] * len(self._place)
        for number, chain in enumerate(skeleton.chains):
            a, b = self._place[chain.start], self._place[chain.end]
            slot = pairs.setdefault((a, b) if a < b else (b, a), len(pairs))
            plus, minus = (a, b) if chain.sign >= 0 else (b, a)
            self._ends.append((plus, minus))
            device = None if chain.device is None else devices[chain.device]
            match device:
                case None if chain.device is None:
                    self._plain.append((number, slot))
                case Battery():
                    self._cells.append((number, slot, device))
                case Supply():
                    self._limits[device.name] = SupplyPort(device, number, plus, minus, slot)
                case Load(behaves="resistance"):
                    self._lamps.append((number, slot, device))
                case Load(behaves="current"):
                    self._steady.append((number, device))
                    self._amounts[plus] -= device.amount
                    self._amounts[minus] += device.amount
                case Load() | Inlet():
                    watts = device.amount if isinstance(device, Load) else 0.0
                    self._powers[device.name] = PowerPort(device.name, number, plus, minus, slot, watts)
        self._feeds = [
            (limited, self._powers[limited.supply.inlet.name])
            for limited in self._limits.values()
            if limited.supply.inlet is not None and limited.supply.inlet.name in self._powers
        ]
        earths = {self._place[node] for node in skeleton.earths}
        self._elimination = Elimination(len(self._place), tuple(pairs), earths)
        self._pairs = len(pairs)
        sources = [d.volts for d in devices if isinstance(d, Battery | Supply)]
        self._highest_v = max(map(abs, sources), default=0.0)
        self.least_v = LOWEST * self._highest_v
        """Minimum voltage of a constant-power load; the load is starved below it. [V]"""
        self._names = [device.name for device in devices if device is not None]
        self.forget()

    def forget(self) -> None:
        """Restart from the initial voltages, which lie above the solution."""
        self._volts: list[float] | None = None
        self._modes: list[Mode] = ["holding"] * len(self._limits)
        self._share = 1.0
        for limited, power in self._feeds:
            limited.limit_a, power.watts = limited.supply.limit_a, 0.0

    def state(self) -> Kept:
        """Return a copy of the present state."""
        inlets = [(power.watts, limited.limit_a) for limited, power in self._feeds]
        return self._share, self._volts, list(self._modes), inlets

    def restore(self, kept: Kept) -> None:
        """Restore a saved state."""
        self._share, self._volts, self._modes = kept[0], kept[1], list(kept[2])
        for (limited, power), (watts, limit) in zip(self._feeds, kept[3], strict=True):
            power.watts, limited.limit_a = watts, limit

    def resist(self, ohms: Sequence[float]) -> None:
        """Set the resistance of each wire. [Ω]"""
        self._ohms = chain_ohms = self._routes.ohms(ohms)
        self._siemens = siemens = [0.0] * self._pairs
        self._fixed = fixed = [0.0] * len(self._place)
        for number, slot in self._plain:
            siemens[slot] += 1 / chain_ohms[number]
        for number, slot, lamp in self._lamps:
            siemens[slot] += 1 / (chain_ohms[number] + lamp.amount)
        for number, slot, cell in self._cells:
            conductance = 1 / (chain_ohms[number] + cell.ohm)
            plus, minus = self._ends[number]
            siemens[slot] += conductance
            fixed[plus] += cell.volts * conductance
            fixed[minus] -= cell.volts * conductance
        for power in self._powers.values():
            power.ohm = chain_ohms[power.chain]
        for limited in self._limits.values():
            limited.cable_ohm = chain_ohms[limited.chain]
            limited.ohm = limited.cable_ohm + limited.supply.ohm

    def settle(self, share: float, tolerance_v: float = TOLERANCE_V) -> None:
        """Solve for the currents and voltages.

        Parameters
        ----------
        share : float
            Fraction of the current or power that loads draw, 0 to 1. [1]
        tolerance_v : float
            Largest voltage change allowed in the last step. [V]

        Raises
        ------
        NoBalanceError
            If the iteration does not converge, or a load has no voltage left.
        """
        kept = self.state()
        for careful in (False, True):
            self._share = share
            try:
                self._settle(careful, tolerance_v)
            except (NoBalanceError, NotPositive) as error:
                self.restore(kept)
                if careful or not self._limits:
                    raise NoBalanceError(str(error)) from error
            else:
                return

    def _settle(self, careful: bool, tolerance_v: float) -> None:
        pairs = zip(self._fixed, self._amounts, strict=True)
        self._injected = [fixed + self._share * drawn for fixed, drawn in pairs]
        for _ in range(60 if not careful else 200):
            before = self._volts
            starved, fed = self._step()
            assert self._volts is not None
            moved = self._follow(careful) or fed
            if before is None:
                continue
            change = max(map(abs, map(float.__sub__, self._volts, before)), default=0.0)
            if change <= tolerance_v and not moved:
                if starved:
                    raise NoBalanceError(f"{starved} starves")
                if self._share and any(volts <= 0 for volts in self._steady_volts()):
                    raise NoBalanceError("a load has no voltage left")
                return
        raise NoBalanceError("the currents do not settle")

    def _step(self) -> tuple[str | None, bool]:
        """Take one Newton step; return a starved load, if any, and whether the power of an inlet changed."""
        siemens = list(self._siemens)
        share = self._share
        amps = list(self._injected)
        starved = None
        volts, highest, least = self._volts, self._highest_v, self.least_v
        per_watt: dict[str, float] = {}
        for name, power in self._powers.items():
            plus, minus = power.plus, power.minus
            across = highest if volts is None else volts[plus] - volts[minus]
            current, slope, per_watt[name], starves = power.draw(across, share * power.watts, least)
            if starves:
                starved = name
            siemens[power.slot] += slope
            current -= slope * across
            amps[plus] -= current
            amps[minus] += current
        for limited, mode in zip(self._limits.values(), self._modes, strict=True):
            slope = 1 / limited.ohm if mode == "holding" else LEAK_S
            current = limited.gives(0.0, mode)
            siemens[limited.slot] += slope
            amps[limited.plus] += current
            amps[limited.minus] -= current
        shares = self._elimination.factor(siemens)
        self._volts = self._elimination.solve(shares, amps)
        if volts is None or not self._feeds:
            return starved, False
        answers = []
        for _, power in self._feeds:
            unit = [0.0] * len(amps)
            unit[power.plus] -= share * per_watt[power.name]
            unit[power.minus] += share * per_watt[power.name]
            answers.append(self._elimination.solve(shares, unit))
        modes = dict(zip(self._limits, self._modes, strict=True))
        feeds = [(limited, power, modes[limited.supply.name]) for limited, power in self._feeds]
        return starved, feed(feeds, answers, volts, self._volts)

    def _follow(self, careful: bool) -> bool:
        """Update the modes of the supplies and the limits of their inlets; return whether any changed."""
        volts = self._volts
        assert volts is not None
        moved = switched = False
        for number, limited in enumerate(self._limits.values()):
            mode = limited.next_mode(volts[limited.plus] - volts[limited.minus], self._modes[number])
            if mode != self._modes[number] and not (careful and switched):
                self._modes[number] = mode
                moved = switched = True
        for limited, power in self._feeds:
            inlet = limited.supply.inlet
            if inlet is None or inlet.limit_a is None:
                continue
            across = volts[limited.plus] - volts[limited.minus]
            own = max(across + limited.limit_a * limited.cable_ohm, self.least_v)
            most = inlet.limit_a * inlet.efficiency * self._across(power) / own
            limit = min(limited.supply.limit_a, most)
            moved = moved or abs(limit - limited.limit_a) > 1e-9 * max(1.0, limit)
            limited.limit_a = limit
        return moved

    def _across(self, power: PowerPort) -> float:
        """Voltage at the terminals of a constant-power load. [V]"""
        assert self._volts is not None
        ends = self._volts[power.plus] - self._volts[power.minus]
        current, *_ = power.draw(ends, self._share * power.watts, self.least_v)
        return max(0.0, ends - current * power.ohm)

    def _steady_volts(self) -> Iterator[float]:
        """Voltage at each constant-current load. [V]"""
        volts = self._volts
        assert volts is not None
        for number, load in self._steady:
            plus, minus = self._ends[number]
            yield volts[plus] - volts[minus] - self._share * load.amount * self._ohms[number]

    def loads(self) -> list[str]:
        """Return the loads of constant current or power, and the inlets."""
        return [load.name for _, load in self._steady] + list(self._powers)

    def draws(self) -> dict[str, float]:
        """Return the voltage at constant-current and constant-power loads that draw, and at inlets. [V]"""
        steady = zip(self._steady, self._steady_volts(), strict=True)
        found = {load.name: volts for (_, load), volts in steady if load.amount}
        return found | {name: self._across(power) for name, power in self._powers.items() if power.watts}

    def parts_without_battery(self) -> set[str]:
        """Return the loads in the parts of the wiring that are fed by supplies only."""
        part = list(range(len(self._place)))

        def find(node: int) -> int:
            while part[node] != node:
                node = part[node]
            return node

        for plus, minus in self._ends:
            part[find(plus)] = find(minus)
        held = {find(self._ends[number][0]) for number, _, _ in self._cells}
        found = {load.name for number, load in self._steady if find(self._ends[number][0]) not in held}
        return found | {name for name, power in self._powers.items() if find(power.plus) not in held}

    def chain_amps(self) -> list[float]:
        """Return the current of each chain, from its positive to its negative side. [A]"""
        volts = self._volts
        assert volts is not None
        across = [volts[plus] - volts[minus] for plus, minus in self._ends]
        amps = [0.0] * len(across)
        for number, _ in self._plain:
            amps[number] = across[number] / self._ohms[number]
        for number, _, lamp in self._lamps:
            amps[number] = across[number] / (self._ohms[number] + lamp.amount)
        for number, _, cell in self._cells:
            amps[number] = (across[number] - cell.volts) / (self._ohms[number] + cell.ohm)
        for number, load in self._steady:
            amps[number] = load.amount
        for power in self._powers.values():
            amps[power.chain], *_ = power.draw(across[power.chain], power.watts, self.least_v)
        for limited, mode in zip(self._limits.values(), self._modes, strict=True):
            amps[limited.chain] = -limited.gives(across[limited.chain], mode)
        return amps

    def wire_amps(self) -> list[float]:
        """Return the current of each wire, from its start to its end. [A]"""
        return self._routes.wire_amps(self.chain_amps())

    def read(self, ohms: Sequence[float]) -> tuple[NamedNumbers, list[float], dict[str, float]]:
        """Return the voltage of each live node [V], and the current of each wire and of each device [A]."""
        assert self._volts is not None
        amps = self.chain_amps()
        wire_amps = self._routes.wire_amps(amps)
        device_amps = dict.fromkeys(self._names, 0.0)
        for number, _, cell in self._cells:
            device_amps[cell.name] = -amps[number]
        for number, _, lamp in self._lamps:
            device_amps[lamp.name] = amps[number]
        for number, load in self._steady:
            device_amps[load.name] = amps[number]
        for name, power in self._powers.items():
            device_amps[name] = amps[power.chain]
        for name, limited in self._limits.items():
            device_amps[name] = -amps[limited.chain]
        volts = self._routes.volts(self._volts, wire_amps, ohms)
        return NamedNumbers(self._nodes, volts), wire_amps, device_amps
