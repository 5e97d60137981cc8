"""Currents and voltages between the junctions of a network, brought into balance by Newton's method."""

from collections.abc import Sequence

from vandoc.calc.chains import Chain, Skeleton
from vandoc.calc.devices import Battery, Device, Inlet, Load, Supply
from vandoc.calc.elimination import Elimination, NotPositive
from vandoc.calc.inlets import Unbalanced, feed
from vandoc.calc.ports import LEAK_S, Mode, PowerPort, SupplyPort

TOLERANCE_V = 1e-9
LOWEST = 0.01  # part of the highest source voltage that a load of constant power needs at least

Kept = tuple[float, list[float] | None, list[Mode], list[tuple[float, float]]]


class Balance:
    """The balance of one skeleton.

    Parameters
    ----------
    skeleton : Skeleton
    devices : sequence of Device or None
        As the skeleton numbers them; None where one is dead.
    """

    def __init__(self, skeleton: Skeleton, devices: Sequence[Device | None]) -> None:
        self._skeleton = skeleton
        self._devices = devices
        self._place = {node: place for place, node in enumerate(skeleton.junctions)}
        pairs: dict[tuple[int, int], int] = {}
        self._chains: list[tuple[Chain, Device | None, int, int, int]] = []  # with plus, minus, slot
        self._powers: dict[str, PowerPort] = {}
        self._limits: dict[str, SupplyPort] = {}
        for chain in skeleton.chains:
            a, b = self._place[chain.start], self._place[chain.end]
            slot = pairs.setdefault((a, b) if a < b else (b, a), len(pairs))
            device = None if chain.device is None else devices[chain.device]
            plus, minus = (a, b) if chain.sign >= 0 else (b, a)
            self._chains.append((chain, device, plus, minus, slot))
            if isinstance(device, Inlet) or (isinstance(device, Load) and device.behaves == "power"):
                watts = device.amount if isinstance(device, Load) else 0.0
                self._powers[device.name] = PowerPort(device.name, plus, minus, slot, watts)
            elif isinstance(device, Supply):
                self._limits[device.name] = SupplyPort(device, plus, minus, slot)
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
        """Below it a load of constant power starves. [V]"""
        self.forget()

    def forget(self) -> None:
        """Start anew from above."""
        self._volts: list[float] | None = None
        self._modes: list[Mode] = ["holding"] * len(self._limits)
        self._share = 1.0

    def state(self) -> Kept:
        """Return where the balance stands."""
        inlets = [(power.watts, limited.limit_a) for limited, power in self._feeds]
        return self._share, self._volts, list(self._modes), inlets

    def restore(self, kept: Kept) -> None:
        """Go back to where it stood."""
        self._share, self._volts, self._modes = kept[0], kept[1], list(kept[2])
        for (limited, power), (watts, limit) in zip(self._feeds, kept[3], strict=True):
            power.watts, limited.limit_a = watts, limit

    def resist(self, ohms: Sequence[float]) -> None:
        """Give the wires their resistance. [Ω]"""
        self._ohms = ohms
        self._siemens = [0.0] * self._pairs
        self._fixed = [0.0] * len(self._place)
        self._drawn = [0.0] * len(self._place)
        self._chain_ohms = []
        for chain, device, plus, minus, slot in self._chains:
            ohm = 0.0
            for wire, _ in chain.wires:
                ohm += ohms[wire]
            self._chain_ohms.append(ohm)
            if device is None:
                if chain.device is None:
                    self._siemens[slot] += 1 / ohm
            elif isinstance(device, Load):
                if device.behaves == "current":
                    self._drawn[plus] -= device.amount
                    self._drawn[minus] += device.amount
                elif device.behaves == "resistance":
                    self._siemens[slot] += 1 / (ohm + device.amount)
                else:
                    self._powers[device.name].ohm = ohm
            elif isinstance(device, Battery):
                self._siemens[slot] += 1 / (ohm + device.ohm)
                self._fixed[plus] += device.volts / (ohm + device.ohm)
                self._fixed[minus] -= device.volts / (ohm + device.ohm)
            elif isinstance(device, Supply):
                self._limits[device.name].cable_ohm = ohm
                self._limits[device.name].ohm = ohm + device.ohm
            else:
                self._powers[device.name].ohm = ohm

    def settle(self, share: float) -> None:
        """Bring currents and voltages into balance.

        Parameters
        ----------
        share : float
            Part of their current or power that loads draw, 0 to 1. [1]

        Raises
        ------
        Unbalanced
            If nothing was found, or a load has no voltage left.
        """
        kept = self.state()
        for careful in (False, True):
            self._share = share
            try:
                self._settle(careful)
            except (Unbalanced, NotPositive) as error:
                self.restore(kept)
                if careful or not self._limits:
                    raise Unbalanced(str(error)) from error
            else:
                return

    def _settle(self, careful: bool) -> None:
        for _ in range(60 if not careful else 200):
            before = self._volts
            starved, fed = self._step()
            assert self._volts is not None
            moved = self._follow(careful) or fed
            if before is None:
                continue
            change = max(map(abs, map(float.__sub__, self._volts, before)), default=0.0)
            if change <= TOLERANCE_V and not moved:
                if starved:
                    raise Unbalanced(f"{starved} starves")
                if self._share and min(self.draws().values(), default=1.0) <= 0:
                    raise Unbalanced("a load has no voltage left")
                return
        raise Unbalanced("the currents do not settle")

    def _step(self) -> tuple[str | None, bool]:
        """One step of Newton's method; return a load that starves, and whether an inlet changed its power."""
        siemens = list(self._siemens)
        share = self._share
        amps = [fixed + share * drawn for fixed, drawn in zip(self._fixed, self._drawn, strict=True)]
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
        """Let supplies change their mode, and follow the limit of their inlet; return whether any did."""
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
        """The voltage at a load of constant power itself. [V]"""
        assert self._volts is not None
        ends = self._volts[power.plus] - self._volts[power.minus]
        current, *_ = power.draw(ends, self._share * power.watts, self.least_v)
        return max(0.0, ends - current * power.ohm)

    def draws(self) -> dict[str, float]:
        """Return the voltage at each load of constant current or power that draws, and at each inlet. [V]"""
        volts = self._volts
        assert volts is not None
        found = {}
        for (_, device, plus, minus, _), ohm in zip(self._chains, self._chain_ohms, strict=True):
            if isinstance(device, Load) and device.behaves == "current":
                if device.amount:
                    found[device.name] = volts[plus] - volts[minus] - self._share * device.amount * ohm
            elif isinstance(device, Load | Inlet) and device.name in self._powers:
                power = self._powers[device.name]
                if power.watts:
                    found[device.name] = self._across(power)
        return found

    def parts_without_battery(self) -> set[str]:
        """Return the loads in parts of the wiring that only supplies feed."""
        part = list(range(len(self._place)))

        def find(node: int) -> int:
            while part[node] != node:
                node = part[node]
            return node

        for _, _, plus, minus, _ in self._chains:
            part[find(plus)] = find(minus)
        held = {find(plus) for _, device, plus, _, _ in self._chains if isinstance(device, Battery)}
        return {device.name for _, device, plus, _, _ in self._chains if device and find(plus) not in held}

    def read(self, ohms: Sequence[float]) -> tuple[dict[str, float], list[float], dict[str, float]]:
        """Return the voltage of each live node [V], the current of each wire and of each device [A]."""
        assert self._volts is not None
        skeleton = self._skeleton
        volts = [0.0] * len(skeleton.nodes)
        for node, value in zip(skeleton.junctions, self._volts, strict=True):
            volts[node] = value
        wire_amps = [0.0] * len(ohms)
        device_amps = {device.name: 0.0 for device in self._devices if device is not None}
        modes = dict(zip(self._limits, self._modes, strict=True))
        for (chain, device, plus, minus, _), ohm in zip(self._chains, self._chain_ohms, strict=True):
            across = self._volts[plus] - self._volts[minus]
            if device is None:
                amps = across / ohm if chain.device is None else 0.0
            else:
                amps = self._taken(device, across, ohm, modes)
                device_amps[device.name] = amps if isinstance(device, Load | Inlet) else -amps
            if chain.wires:
                if chain.sign < 0:
                    amps = -amps
                value = volts[chain.start]
                ahead = len(chain.wires) if chain.device is None else chain.before
                for (wire, direction), node in zip(chain.wires[:ahead], chain.inner, strict=False):
                    wire_amps[wire] = amps * direction
                    value -= amps * ohms[wire]
                    volts[node] = value
                if chain.device is None:
                    wire, direction = chain.wires[-1]
                    wire_amps[wire] = amps * direction
                    continue
                value = volts[chain.end]
                for number in range(len(chain.wires) - 1, ahead - 1, -1):
                    wire, direction = chain.wires[number]
                    wire_amps[wire] = amps * direction
                    value += amps * ohms[wire]
                    volts[chain.inner[number]] = value
        for node, other in reversed(skeleton.leaves):
            volts[node] = volts[other]
        return dict(zip(skeleton.nodes, volts, strict=True)), wire_amps, device_amps

    def _taken(self, device: Device, across: float, ohm: float, modes: dict[str, Mode]) -> float:
        """What flows into the plus of a device, with its cables' ohm, at the voltage across its chain. [A]"""
        if isinstance(device, Battery):
            return (across - device.volts) / (ohm + device.ohm)
        if isinstance(device, Supply):
            return -self._limits[device.name].gives(across, modes[device.name])
        if isinstance(device, Load) and device.behaves == "current":
            return device.amount
        if isinstance(device, Load) and device.behaves == "resistance":
            return across / (ohm + device.amount)
        power = self._powers[device.name]
        return power.draw(across, power.watts, self.least_v)[0]
