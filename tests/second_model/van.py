"""A van's circuit as it behaves: batteries, chargers with limits, panels, loads that cut out and stay off.

Every figure here is this model's own, from memory unless a source stands beside it. It differs from the
product's on purpose: rest voltages, cable resistances, and how devices behave are not copied from it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import exp
from random import Random
from typing import Any

from tests.second_model.nodal import solve
from tests.second_model.van_file import STANDARD_MM2, Cable, Drawing, figure

COPPER = 0.0193  # ohm mm²/m at 45 °C: 0.01724 (IEC 60028) with 0.39 % a kelvin
OPEN_OHM = 1e8
SOURCE_OHM = 0.01
CHARGES = {"driving": "alternator", "on hook-up": "mains", "sun only": "solar"}
# per cell, at charge in percent; all from memory: BCI's table for lead, curves of cells for LiFePO4
REST_V = {
    "flooded": {0: 1.98, 25: 2.01, 50: 2.04, 75: 2.075, 100: 2.11},
    "lead": {0: 1.96, 25: 2.00, 50: 2.05, 75: 2.095, 100: 2.14},
    "LiFePO4": {0: 2.60, 10: 3.15, 20: 3.22, 40: 3.265, 60: 3.29, 80: 3.32, 95: 3.34, 100: 3.40},
}


@dataclass(frozen=True)
class World:
    """One van on one day. Shares are multiples of the usual; `charge` is of the leisure battery. [%]"""

    charge: float
    rest_shift: float
    battery_share: float
    pushed_share: float
    alternator_v: float
    sun: float
    on: frozenset[str]
    drawn: Mapping[str, float]
    cut_out: Mapping[str, float]
    scatter: Mapping[str, float]
    lives_alone: bool
    gain: float
    mains: bool = True
    cold: bool = False


@dataclass(frozen=True)
class Doing:
    """What the van does during an observation, with the loads that are on and the proof lamps. [W]"""

    state: str = "in use"
    on: frozenset[str] = frozenset()
    lamps: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Fault:
    """One fault.

    Attributes
    ----------
    name : str
    ohms : mapping
        Resistance added to a branch. [ohm]
    gone : frozenset of str
        Devices that do nothing.
    shut : frozenset of str
        Contacts that stay closed.
    world : mapping
        What is different in the world: fields of `World`.
    told : frozenset of str
        Answers to the first questions that are true because of it, such as ``own-switch``.
    parts : tuple of (str, frozenset of str)
        What a page may name for it: part, and kinds (empty: any).
    ends : frozenset of str
        Ends that are right for it.
    touches : str
        The part that it is at, by which the loads worth trying are found.
    half : bool
        Whether half of the array gives nothing.
    looks_blown : bool
        Whether a look at the fuse shows it.
    """

    name: str
    ohms: Mapping[str, float] = field(default_factory=dict)
    gone: frozenset[str] = frozenset()
    shut: frozenset[str] = frozenset()
    world: Mapping[str, Any] = field(default_factory=dict)
    told: frozenset[str] = frozenset()
    parts: tuple[tuple[str, frozenset[str]], ...] = ()
    ends: frozenset[str] = frozenset()
    touches: str = ""
    half: bool = False
    looks_blown: bool = False

    @property
    def kind(self) -> str:
        return self.name.partition(" ")[0]


SOUND = Fault("sound")


def draw_world(drawing: Drawing, charge: float, pick: Random) -> World:
    """Return a world at a state of charge."""
    loads = drawing.loads
    names = [f"{number}{place}" for number in range(len(drawing.cables)) for place in ("a", "w", "b")]
    names += [*drawing.fuses, *drawing.pieces]
    return World(
        charge,
        pick.uniform(-0.008, 0.008),
        pick.uniform(0.7, 2.5),
        pick.uniform(0.6, 1.4),
        pick.uniform(13.7, 14.5) / 12,
        pick.uniform(0.5, 1.0),
        frozenset(name for name, load in loads.items() if pick.random() < (0.95 if _always(load) else 0.35)),
        {name: pick.uniform(0.6, 1.1) for name in loads},
        {name: pick.uniform(0.96, 1.05) for name in {**loads, **drawing.pieces}},
        {name: exp(pick.gauss(0, 0.15)) for name in names},
        pick.random() < 0.5,
        1 + pick.gauss(0, 0.005),
    )


def _always(load: Mapping[str, Any]) -> bool:
    return load.get("importance") == "critical" or bool(load.get("shows_voltage"))


@dataclass
class Solved:
    """A solved van: voltages by node, the devices that have stopped, and currents."""

    volts: dict[str, float]
    stopped: frozenset[str]
    out_a: dict[str, float]
    battery_a: float
    drawn_a: dict[str, float]
    branches: dict[str, tuple[str, str, float]]
    behind: dict[str, float]

    def across(self, a: str, b: str) -> float:
        return self.volts.get(a, 0.0) - self.volts.get(b, 0.0)


class VanModel:
    """One drawing in one world with one fault."""

    def __init__(self, drawing: Drawing, world: World, fault: Fault = SOUND) -> None:
        self.drawing, self.fault = drawing, fault
        self.world = replace(world, **fault.world) if fault.world else world
        self.cells_12 = drawing.nominal_v / 12
        self._solved: dict[Doing, Solved] = {}

    def solved(self, doing: Doing) -> Solved:
        if doing not in self._solved:
            self._solved[doing] = _Settling(self, doing).settle()
        return self._solved[doing]

    def works(self, load: str, doing: Doing) -> bool:
        """Whether a load or device does what it should."""
        if load in self.fault.gone or f"own {load}" in self.fault.gone:
            return False
        solved = self.solved(doing)
        if load in solved.stopped:
            return False
        return solved.across(f"{load}.+", f"{load}.-") >= 0.55 * self.volts_of(load)

    def weak(self, load: str, doing: Doing) -> bool:
        """Whether a lamp is plainly dimmer than it should be."""
        volts = self.solved(doing).across(f"{load}.+", f"{load}.-")
        return volts < 0.82 * self.volts_of(load)

    def volts_of(self, load: str) -> float:
        """The voltage for which a load is made. [V]"""
        piece = {**self.drawing.pieces, **self.drawing.loads}[load]
        return figure(piece.get("nominal")) or self.drawing.nominal_v

    def rest_v(self, name: str) -> float:
        battery = self.drawing.pieces[name]
        chemistry = str(battery.get("chemistry"))
        table = REST_V.get(chemistry, REST_V["lead"])
        volts = figure(battery.get("voltage")) or 12.0 * (battery.get("series") or self.cells_12)
        cells = round(volts / (3.2 if chemistry == "LiFePO4" else 2.0))
        charge = self.world.charge if name == self.drawing.house else 85.0
        return cells * (_between(table, charge) + self.world.rest_shift)

    def battery_ohm(self, name: str) -> float:
        battery = self.drawing.pieces[name]
        hours = figure(battery.get("capacity")) or 100.0
        lithium = str(battery.get("chemistry")) == "LiFePO4"
        ohm = (0.6 / hours + 0.001 if lithium else 0.9 / hours) * self.cells_12
        low = (
            1 + max(0.0, (30 - self.world.charge) / 30) if name == self.drawing.house and not lithium else 1.0
        )
        share = self.world.battery_share if name == self.drawing.house else 1.0
        return ohm * low * share


def _between(table: Mapping[int, float], at: float) -> float:
    below = max(one for one in table if one <= at)
    above = min(one for one in table if one >= at)
    if above == below:
        return table[below]
    return table[below] + (table[above] - table[below]) * (at - below) / (above - below)


def cable_ohm(cable: Cable, drawing: Drawing) -> float:
    """The resistance of a cable; without a stated area, the one next above 5 A/mm² or 2 % of drop."""
    area = cable.area_mm2
    if area is None:
        amps = _most_a(cable, drawing)
        least = max(amps / 5, 2 * COPPER * cable.length_m * amps * 0.6 / (0.02 * drawing.nominal_v))
        area = next((one for one in STANDARD_MM2 if one >= least), 95)
    return COPPER * cable.length_m / area


def _most_a(cable: Cable, drawing: Drawing) -> float:
    """The current for which a cable is made: that of the smaller device or fuse at its ends. [A]"""
    found = [drawing.fuses[end][2] for end in (cable.start, cable.end) if end in drawing.fuses]
    for owner in (end.partition(".")[0] for end in (cable.start, cable.end)):
        piece = {**drawing.pieces, **drawing.loads}.get(owner, {})
        if piece.get("kind") in ("charger", "converter"):
            found.append(figure(piece["output"]))
        elif piece.get("kind") == "inverter":
            found.append((figure(piece["power"]) or 0) / drawing.nominal_v * 1.2)
        elif owner in drawing.loads:
            watts = (figure(piece.get("power")) or 0) * piece.get("count", 1)
            found.append(figure(piece.get("current")) or watts / drawing.nominal_v)
    stated = [amps for amps in found if amps]
    return min(stated) if stated else 100.0


class _Settling:
    """The iteration to an operating point: conductances of devices, then what has cut out or switched off."""

    def __init__(self, van: VanModel, doing: Doing) -> None:
        self.van, self.doing, self.drawing, self.world = van, doing, van.drawing, van.world
        self.fixed: dict[str, tuple[str, str, float]] = {}
        self.gone = van.fault.gone
        self.charging = CHARGES.get(doing.state)
        self.stopped: set[str] = set()
        self.siemens: dict[str, float] = {}
        self.sources: dict[str, tuple[str, str, float, float]] = {}  # plus, minus, volts, ohm
        self.reference = f"{self.drawing.house}.-"
        self._lay()

    # the copper

    def _wire(self, name: str, a: str, b: str, ohm: float) -> None:
        ohm = ohm * self.world.scatter.get(name, 1.0) + self.van.fault.ohms.get(name, 0.0)
        self.fixed[name] = (a, b, 1 / max(ohm, 1e-5))

    def _lay(self) -> None:
        for number, cable in enumerate(self.drawing.cables):
            a, b = f"{number}a end", f"{number}b end"
            self._wire(f"{number}a", cable.start, a, 1.5e-4)
            self._wire(f"{number}w", a, b, cable_ohm(cable, self.drawing))
            self._wire(f"{number}b", b, cable.end, 1.5e-4)
        for name, (start, end, rating) in self.drawing.fuses.items():
            self._wire(name, start, end, 0.08 / (rating or 30.0))
        for name, piece in self.drawing.pieces.items():
            self._contact(name, piece)

    def _contact(self, name: str, piece: Mapping[str, Any]) -> None:
        kind = piece["kind"]
        if kind in ("isolator", "switch"):
            self._wire(name, f"{name}.in", f"{name}.out", 2e-4 if kind == "isolator" else 5e-3)
        elif kind == "ignition-contact":
            runs = self.doing.state == "driving" or name in self.van.fault.shut
            self._wire(name, f"{name}.in", f"{name}.out", 0.01 if runs else OPEN_OHM)
        elif kind == "relay":
            lives = not any(self.gone & set(self.drawing.of("alternator")))
            runs = self.doing.state == "driving" and lives
            self._wire(
                name, f"{name}.a", f"{name}.b", 5e-4 if runs or name in self.van.fault.shut else OPEN_OHM
            )
        elif kind == "shunt":
            self._wire(name, f"{name}.battery", f"{name}.system", 0.05 / (figure(piece.get("rating")) or 300))
        elif kind == "earth-point":
            self._wire(name, name, "chassis", 2e-4)
        elif kind == "alternator":
            self._wire(name, f"{name}.-", "chassis", 2e-4)
        elif kind == "battery" and piece.get("sensor"):
            self._wire(f"{name} sensor", f"{name}.-", f"{name}.sensor", 1e-4)
        elif kind == "charger" and piece.get("source") == "solar":
            self._wire(f"{name} common", f"{name}.pv-", f"{name}.-", 1e-3)

    # the devices

    def _batteries(self) -> None:
        for name, piece in self.drawing.of("battery").items():
            volts, ohm = self.van.rest_v(name), self.van.battery_ohm(name)
            if name in self.gone:
                ohm = OPEN_OHM
            if name == self.drawing.house and "flat" in self.gone:
                lithium = str(piece.get("chemistry")) == "LiFePO4"
                volts, ohm = (volts, OPEN_OHM) if lithium and not self.charging else (0.82 * volts, 3 * ohm)
            if name == self.drawing.house and "cell" in self.gone:
                volts -= 2.0
            if name == self.drawing.house and self.charging and self.into_a > 0:
                pushed, most = self._pushed(piece), 0.1 * (figure(piece.get("capacity")) or 100.0)
                if self.into_a >= most:
                    volts += pushed
                else:
                    ohm += pushed / most
            self.sources[name] = (f"{name}.+", f"{name}.-", volts, ohm)

    def _pushed(self, piece: Mapping[str, Any]) -> float:
        """What a charging current adds to the voltage of a battery. [V]"""
        lithium = str(piece.get("chemistry")) == "LiFePO4"
        full = self.world.charge > 90
        per_12 = (0.8 if full else 0.15) if lithium else (1.4 if full else 1.0)
        return per_12 * self.van.cells_12 * self.world.pushed_share

    def _loads(self, volts: Mapping[str, float]) -> None:
        self.drawn: dict[str, float] = {}
        for name, load in self.drawing.loads.items():
            if (
                name in self.doing.on
                and name not in self.gone | self.stopped
                and f"own {name}" not in self.gone
            ):
                made = self.van.volts_of(name)
                amps = (
                    figure(load.get("current"))
                    or (figure(load.get("power")) or 0.0) * load.get("count", 1) / made
                )
                amps *= self.world.drawn[name]
                self._draw(name, f"{name}.+", f"{name}.-", amps, made, volts, load.get("behaves"), load)
        for name, piece in self.drawing.pieces.items():
            if piece["kind"] == "inverter" and name not in self.gone | self.stopped:
                runs = self.doing.state == "inverter on"
                watts = (figure(piece["power"]) or 0) * 0.9 / 0.9 if runs else 10.0
                if runs or "inverter idles" in self.doing.on:
                    self._draw(
                        name,
                        f"{name}.+",
                        f"{name}.-",
                        watts / self.drawing.nominal_v,
                        self.drawing.nominal_v,
                        volts,
                        "power",
                        piece,
                    )
            elif piece["kind"] == "monitor" and name not in self.gone:
                self._draw(name, f"{name}.+", f"{name}.-", 0.01, self.drawing.nominal_v, volts, None, piece)
            elif piece["kind"] == "converter":
                self._converter(name, piece, volts)
        for device, watts in self.doing.lamps:
            piece = {**self.drawing.pieces, **self.drawing.loads}[device]
            plus = f"{device}.+" if f"{device}.+" in volts or device in self.drawing.loads else f"{device}.in"
            made = self.van.volts_of(device) if device in self.drawing.loads else self.drawing.nominal_v
            self._draw(f"lamp {device}", plus, f"{device}.-", watts / made, made, volts, "resistance", piece)

    def _draw(
        self,
        name: str,
        plus: str,
        minus: str,
        amps: float,
        made: float,
        volts: Mapping[str, float],
        behaves: str | None,
        piece: Mapping[str, Any],
    ) -> None:
        across = volts.get(plus, 0.0) - volts.get(minus, 0.0) if volts else made
        lamp = piece.get("importance") == "lighting" or behaves == "resistance"
        if lamp:
            siemens = amps / made
        elif behaves == "power":
            siemens = amps * made / max(across, 0.6 * made) ** 2
        else:
            siemens = amps / max(across, 0.5 * made)
        before = self.siemens.get(name)
        self.siemens[name] = siemens if before is None else (before + 2 * siemens) / 3
        self.drawn[name] = self.siemens[name] * across
        self.moving[name] = (plus, minus, self.siemens[name])

    def _charger(
        self,
        name: str,
        volts: Mapping[str, float],
        out: tuple[str, str],
        ends: tuple[float, float],
        most_a: float,
    ) -> float:
        """A voltage behind a small resistance, or its limiting current; returns the current."""
        aim, ohm = ends
        across = volts.get(out[0], 0.0) - volts.get(out[1], 0.0) if volts else self.drawing.nominal_v
        effective = max(ohm, (aim - across) / most_a) if most_a > 0 and across < aim else OPEN_OHM
        before = self.sources.get(name)
        if across >= aim and before and before[3] < 1:
            effective = before[3] * 2 if across > aim + 1e-3 else before[3]
        if before and before[3] < 1e4 and effective < 1e4:
            effective = (before[3] * effective) ** 0.5
        self.sources[name] = (*out, aim, effective)
        return max(0.0, (aim - across) / effective)

    def _supplies(self, volts: Mapping[str, float]) -> None:
        if self.charging == "alternator":
            for name in self.drawing.of("alternator"):
                if name not in self.gone:
                    rating = figure(self.drawing.pieces[name].get("rating")) or 100.0
                    aim = self.world.alternator_v * self.drawing.nominal_v
                    self._charger(name, volts, (f"{name}.+", f"{name}.-"), (aim, 0.004), rating)
        if self.charging == "solar" and self.drawing.of("solar-array"):
            self._panels()
        for name, piece in self.drawing.of("charger").items():
            if piece["source"] != self.charging or name in self.gone | self.stopped:
                self.sources.pop(name, None)
                continue
            aim = figure((piece.get("profile") or {}).get("absorption")) or 1.19 * self.drawing.nominal_v
            most = figure(piece["output"]) or 20.0
            inlet = getattr(self, f"_from_{piece['source']}")(name, piece, volts)
            if inlet is None:
                self.sources.pop(name, None)
                self.out_a.pop(name, None)
                continue
            most = min(most, inlet)
            if self._refuses(name):
                most = 0.02
            self.out_a[name] = self._charger(
                name, volts, (f"{name}.out", f"{name}.-"), (aim, SOURCE_OHM), most
            )

    def _refuses(self, _name: str) -> bool:
        """Whether a lithium battery that is too cold is not charged."""
        lithium = str(self.drawing.pieces[self.drawing.house].get("chemistry")) == "LiFePO4"
        return self.world.cold and lithium

    def _array(self) -> tuple[str, float, float, float]:
        """The panels: id, open-circuit voltage, most current in this sun, and resistance."""
        array, panel = next(iter(self.drawing.of("solar-array").items()))
        count = panel.get("series", 1) * (0.5 if self.van.fault.half else 1.0)
        voc, vmp = ((figure(panel[key]) or 0.0) * count for key in ("voc", "vmp"))
        full_a = (figure(panel["power"]) or 0.0) * count * panel.get("parallel", 1) / vmp
        sun = 0.0 if array in self.gone else self.world.sun
        return array, voc * (0.95 + 0.05 * sun), full_a * sun * 0.93, (voc - vmp) / full_a

    def _panels(self) -> None:
        array, voc, most, own = self._array()
        if most > 1e-3:
            self.sources[array] = (f"{array}.+", f"{array}.-", voc, own)

    def _from_mains(self, _name: str, _piece: object, _volts: object) -> float | None:
        return 1e3 if self.world.mains else None

    def _from_alternator(self, name: str, piece: Mapping[str, Any], volts: Mapping[str, float]) -> float:
        out = self.out_a.get(name, 0.0)
        aim = volts.get(f"{name}.out", 0.0) - volts.get(f"{name}.-", 0.0) if volts else self.drawing.nominal_v
        watts = max(out * max(aim, 1.0) / 0.9, 2.0)
        self._draw(
            f"{name} input",
            f"{name}.in",
            f"{name}.-",
            watts / self.drawing.nominal_v,
            self.drawing.nominal_v,
            volts,
            "power",
            {},
        )
        if piece.get("ignition_feed"):
            self._draw(
                f"{name} sense",
                f"{name}.ignition",
                f"{name}.-",
                0.02,
                self.drawing.nominal_v,
                volts,
                "resistance",
                {},
            )
        return 1e3

    def _from_solar(self, name: str, _piece: object, volts: Mapping[str, float]) -> float | None:
        array, voc, most, own = self._array()
        shown = volts.get(f"{array}.+", 0.0) - volts.get(f"{array}.-", 0.0) if volts else voc
        got = volts.get(f"{name}.pv+", 0.0) - volts.get(f"{name}.pv-", 0.0) if volts else voc
        flows = max(self.siemens.get(f"{name} panel", 0.0) * got, 1e-4)
        path = max((shown - got) / flows, 0.0)
        best = min(0.95 * most, 0.5 * voc / (own + path))
        out_v = (
            volts.get(f"{name}.out", 0.0) - volts.get(f"{name}.-", 0.0) if volts else self.drawing.nominal_v
        )
        wanted = self.out_a.get(name, 1e3) * max(out_v, 5.0) / 0.96 / max(got, 5.0)
        pulls = min(best, max(wanted * 1.02, 0.01))
        siemens = pulls / max(got, 3.0)
        before = self.siemens.get(f"{name} panel", siemens)
        self.siemens[f"{name} panel"] = (before + siemens) / 2
        self.moving[f"{name} panel"] = (f"{name}.pv+", f"{name}.pv-", self.siemens[f"{name} panel"])
        if volts and got < self.drawing.nominal_v * 0.9:
            return None
        return max(0.96 * best * got / max(out_v, 5.0), 0.01) if most > 1e-3 else None

    def _converter(self, name: str, piece: Mapping[str, Any], volts: Mapping[str, float]) -> None:
        if name in self.gone | self.stopped:
            self.sources.pop(name, None)
            return
        made = figure(piece["output_voltage"]) or 12.0
        most = figure(piece["output"]) or 20.0
        out = self._charger(name, volts, (f"{name}.out", f"{name}.-"), (made * 1.01, 0.005), most)
        across = volts.get(f"{name}.out", 0.0) - volts.get(f"{name}.-", 0.0) if volts else made
        self.out_a[name] = out
        self._draw(
            f"{name} input",
            f"{name}.in",
            f"{name}.-",
            max(out * across / 0.92, 1.0) / self.drawing.nominal_v,
            self.drawing.nominal_v,
            volts,
            "power",
            {},
        )

    # settling

    def settle(self) -> Solved:
        self.out_a: dict[str, float] = {}
        self.into_a = 1.0 if self.charging else 0.0
        volts: dict[str, float] = {}
        for _event in range(12):
            volts = self._point(volts)
            if not self._switches_off(volts):
                break
        return Solved(
            volts,
            frozenset(self.stopped),
            dict(self.out_a),
            self._into_house(volts),
            dict(self.drawn),
            self._branches(),
            {name: one[2] for name, one in self.sources.items()},
        )

    def _point(self, volts: dict[str, float]) -> dict[str, float]:
        for turn in range(60):
            self.moving: dict[str, tuple[str, str, float]] = {}
            self._batteries()
            self._loads(volts)
            self._supplies(volts)
            after = solve(self._branches(), self._injected(), self.reference)
            self.into_a = self._into_house(after)
            change = max((abs(after[node] - volts.get(node, 1e3)) for node in after), default=0.0)
            volts = after
            if change < 1e-3 and turn > 2:
                break
        return volts

    def _branches(self) -> dict[str, tuple[str, str, float]]:
        ohms = {name: (plus, minus, 1 / ohm) for name, (plus, minus, _, ohm) in self.sources.items()}
        return {
            **self.fixed,
            **{f"draws {name}": one for name, one in self.moving.items()},
            **{f"source {name}": one for name, one in ohms.items()},
        }

    def _injected(self) -> dict[str, float]:
        push: dict[str, float] = {}
        for plus, minus, aim, ohm in self.sources.values():
            push[plus] = push.get(plus, 0.0) + aim / ohm
            push[minus] = push.get(minus, 0.0) - aim / ohm
        return push

    def _into_house(self, volts: Mapping[str, float]) -> float:
        plus, minus, aim, ohm = self.sources[self.drawing.house]
        return (volts.get(plus, 0.0) - volts.get(minus, 0.0) - aim) / ohm

    def _switches_off(self, volts: Mapping[str, float]) -> bool:
        """Latch every device whose voltage is too low for it; return whether any went off."""
        off = set()
        for name, piece in {**self.drawing.loads, **self.drawing.pieces}.items():
            if name in self.stopped:
                continue
            least = figure(piece.get("lowest"))
            runs = f"draws {name}" in {f"draws {one}" for one in self.moving}
            if (
                least
                and runs
                and volts.get(f"{name}.+", 0) - volts.get(f"{name}.-", 0) < least * self.world.cut_out[name]
            ):
                off.add(name)
            if piece.get("kind") == "converter" and name not in self.gone:
                across = volts.get(f"{name}.in", 0) - volts.get(f"{name}.-", 0)
                if across < 0.83 * self.drawing.nominal_v:
                    off.add(name)
            if piece.get("kind") == "charger" and piece.get("source") == self.charging == "alternator":
                across = volts.get(f"{name}.in", 0) - volts.get(f"{name}.-", 0)
                sense = volts.get(f"{name}.ignition", 0) - volts.get(f"{name}.-", 0)
                if across < 0.98 * self.drawing.nominal_v:
                    off.add(name)
                if piece.get("ignition_feed") and (
                    sense < 0.65 * self.drawing.nominal_v or f"sense {name}" in self.gone
                ):
                    off.add(name)
            if piece.get("kind") == "charger" and name in self.out_a and not self.world.lives_alone:
                across = volts.get(f"{name}.out", 0) - volts.get(f"{name}.-", 0)
                if self.out_a[name] < 0.05 and across > 1.15 * self.drawing.nominal_v and not self._reaches():
                    off.add(name)
        self.stopped |= off
        for name in off:
            self.out_a.pop(name, None)
            self.sources.pop(name, None)
        return bool(off)

    def _reaches(self) -> bool:
        """Whether a charger sees the battery at its output."""
        touched = self.van.fault.ohms
        return not any(ohm > 1e6 for ohm in touched.values())
