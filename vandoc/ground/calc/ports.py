"""Two-terminal equivalents of a constant-power load or a supply together with its cables."""

from math import sqrt
from typing import Literal

from vandoc.ground.calc.devices import Supply

LEAK_S = 1e-9  # conductance of a supply that holds no voltage, so that its junction never floats

Mode = Literal["holding", "full", "idle"]


class PowerPort:
    """Chain with a constant-power load: equivalent of the load and its cables at the chain's ends."""

    __slots__ = ("chain", "minus", "name", "ohm", "plus", "slot", "watts")

    def __init__(self, name: str, chain: int, plus: int, minus: int, slot: int, watts: float) -> None:
        self.name, self.chain, self.watts = name, chain, watts
        self.plus, self.minus, self.slot = plus, minus, slot
        self.ohm = 0.0

    def draw(self, volts: float, watts: float, least_v: float) -> tuple[float, float, float, bool]:
        """Return its current, the derivatives by voltage and by power, and whether it is starved."""
        rest = volts * volts - 4 * self.ohm * watts
        if volts > least_v and rest > 0:
            root = sqrt(rest)
            amps = 2 * watts / (volts + root)
            return amps, -amps / root, 1 / root, False
        lowest = max(sqrt(self.ohm * watts), least_v)
        return watts / lowest, 0.0, 1 / lowest, watts > 0


class SupplyPort:
    """Chain with a supply."""

    __slots__ = ("cable_ohm", "chain", "limit_a", "minus", "ohm", "plus", "slot", "supply")

    def __init__(self, supply: Supply, chain: int, plus: int, minus: int, slot: int) -> None:
        self.supply, self.chain = supply, chain
        self.plus, self.minus, self.slot = plus, minus, slot
        self.limit_a = supply.limit_a
        self.cable_ohm = 0.0
        self.ohm = supply.ohm

    def gives(self, volts: float, mode: Mode) -> float:
        """Return its current. [A]"""
        if mode == "holding":
            return (self.supply.volts - volts) / self.ohm
        base = self.limit_a if mode == "full" else 0.0
        return base + LEAK_S * (self.supply.volts - volts)

    def next_mode(self, volts: float, mode: Mode) -> Mode:
        """Return the next mode, changing one step at a time so that holding the voltage is never skipped."""
        holding = (self.supply.volts - volts) / self.ohm
        slack = 1e-9 * max(1.0, self.limit_a)
        if mode == "holding":
            return "idle" if holding < -slack else "full" if holding > self.limit_a + slack else mode
        if mode == "full":
            return "holding" if holding < self.limit_a - slack else mode
        return "holding" if holding > slack else mode

    def output(self, volts: float, mode: Mode) -> tuple[float, float]:
        """Return the power that it delivers [W], and its derivative with respect to voltage [W/V]."""
        if mode == "idle":
            return 0.0, 0.0
        amps = self.limit_a if mode == "full" else (self.supply.volts - volts) / self.ohm
        slope = 0.0 if mode == "full" else -1 / self.ohm
        own = volts + amps * self.cable_ohm
        if amps < 0 or own < 0:
            return 0.0, 0.0
        return own * amps, (1 + self.cable_ohm * slope) * amps + own * slope
