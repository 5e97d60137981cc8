"""The same network told to ngspice: many in one process, each current read by an ammeter of its own."""

import os
import shutil
import subprocess
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.ground.calc.devices import Battery, Device, Load, Supply
from vandoc.ground.calc.nodal import Nodal
from vandoc.ground.calc.operating_point import OperatingPoint
from vandoc.reading.loader import load

Net = tuple[Mapping[str, tuple[str, str]], Mapping[str, float], Sequence[Device], OperatingPoint | None]
Answer = tuple[dict[str, float], dict[str, float]]


@pytest.fixture(scope="session")
def ngspice_points(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Sequence[Net]], list[Answer]]:
    """Operating points by ngspice: nets to voltages by node and currents by wire and supply.

    A supply has corners where it reaches its voltage or its limit, which ngspice often cannot get past. Where
    an operating point is at hand, each supply is told to ngspice as what it is there: a voltage behind a
    resistance, a current, or nothing. Whoever compares must look whether that agrees with ngspice's own
    numbers. Its options ask for 1e-7; each part of a net has its first source's minus as 0 V. Currents are
    named by their wire, or ``device`` and its name.
    """
    program = shutil.which("ngspice")
    if program is None:
        if os.environ.get("CI") == "true":
            pytest.fail("ngspice is not installed, and CI must compare with it")
        pytest.skip("ngspice is not installed")
    folder: Path = tmp_path_factory.mktemp("ngspice")

    def operating_points(nets: Sequence[Net]) -> list[Answer]:
        decks = [Deck(*net) for net in nets]
        control = ["* batch", ".control", "set numdgt=12"]
        for number, deck in enumerate(decks):
            path = folder / f"net{number}.cir"
            path.write_text("\n".join(["* net", *deck.lines, ".end", ""]))
            control += [f"source {path}", "op", f"echo net {number}", "print all", "destroy all", "remcirc"]
        batch = folder / "batch.cir"
        batch.write_text("\n".join([*control, "quit", ".endc", ".end", ""]))
        run = subprocess.run([program, "-b", str(batch)], capture_output=True, text=True, timeout=120)
        answers: list[dict[str, float]] = [{} for _ in nets]
        current: dict[str, float] = {}
        for line in run.stdout.splitlines():
            if line.startswith("net "):
                current = answers[int(line.split()[1])]
            name, equals, value = line.partition(" = ")
            if equals and not name.startswith("Doing"):
                current[name.strip()] = float(value)
        return [deck.read(answer) for deck, answer in zip(decks, answers, strict=True)]

    return operating_points


class Deck:
    """One net in the words of ngspice."""

    def __init__(
        self,
        wires: Mapping[str, tuple[str, str]],
        ohms: Mapping[str, float],
        devices: Sequence[Device],
        found: OperatingPoint | None = None,
    ) -> None:
        self.wires, self.devices, self.found = dict(wires), devices, found
        self.ends = self._take_off_ends()
        live, earths = self._live()
        self.names = {node: "0" if node in earths else f"n{number}" for number, node in enumerate(live)}
        self.meters: dict[str, str] = {}
        self.lines = [".options reltol=1e-7 abstol=1e-6 vntol=1e-7 gmin=1e-15 pivrel=0.5 itl1=2000"]
        for number, (name, (start, end)) in enumerate(self.wires.items()):
            if start in self.names:
                a, b = self.names[start], self.names[end]
                self.meters[name] = f"va{number}#branch"
                self.lines += [f"R{number} {a} a{number} {ohms[name]!r}", f"VA{number} a{number} {b} DC 0"]
        for number, device in enumerate(devices):
            if device.plus in self.names and device.minus in self.names:
                self.lines += self._device(number, device)
        start = self._without_loads(live, earths, ohms)
        self.lines += [
            f".nodeset v({self.names[node]})={start[node]:.6g}" for node in live if node not in earths
        ]

    def _take_off_ends(self) -> list[tuple[str, str, str]]:
        """Wires that end nowhere carry nothing; ngspice finds no voltage at a node with one resistor."""
        used = {node for device in self.devices for node in (device.plus, device.minus)}
        used |= {
            n
            for d in self.devices
            if isinstance(d, Supply) and d.inlet
            for n in (d.inlet.plus, d.inlet.minus)
        }
        ends = []
        while True:
            at: dict[str, list[str]] = {}
            for name, pair in self.wires.items():
                for node in pair:
                    at.setdefault(node, []).append(name)
            loose = next((n for n, names in at.items() if len(names) == 1 and n not in used), None)
            if loose is None:
                return ends
            name = at[loose][0]
            a, b = self.wires.pop(name)
            ends.append((name, loose, b if a == loose else a))

    def _live(self) -> tuple[list[str], set[str]]:
        around: dict[str, set[str]] = {}
        pairs = [*self.wires.values()]
        joining = [d for d in self.devices if not isinstance(d, Load) or d.behaves == "resistance"]
        pairs += [(d.minus, d.plus) for d in joining]
        for a, b in pairs:
            around.setdefault(a, set()).add(b)
            around.setdefault(b, set()).add(a)
        live: dict[str, None] = {}
        earths = set()
        for device in self.devices:
            if isinstance(device, Load) or device.minus in live:
                continue
            earths.add(device.minus)
            todo = [device.minus]
            while todo:
                node = todo.pop()
                if node not in live:
                    live[node] = None
                    todo += sorted(around[node])
        return list(live), earths

    def _without_loads(
        self, live: list[str], earths: set[str], ohms: Mapping[str, float]
    ) -> dict[str, float]:
        """Where ngspice starts looking: the voltages with loads off and supplies as stiff as they can be."""
        reference = min(earths)
        net = Nodal(live, reference)
        for other in earths - {reference}:
            net.resistor(reference, other, 1.0)
        for name, (a, b) in self.wires.items():
            if a in self.names:
                net.resistor(a, b, ohms[name])
        for device in self.devices:
            if isinstance(device, Battery):
                net.source(device.plus, device.minus, device.volts, device.ohm)
            elif isinstance(device, Supply):
                net.source(device.plus, device.minus, device.volts, max(device.ohm, 0.05))
            elif isinstance(device, Load) and device.behaves == "resistance" and device.plus in self.names:
                net.resistor(device.plus, device.minus, device.amount)
        return net.solve()

    def _device(self, number: int, device: Device) -> list[str]:
        plus, minus = self.names[device.plus], self.names[device.minus]
        across = f"V({plus},{minus})"
        if isinstance(device, Battery):
            self.meters[f"device {device.name}"] = f"v{number}#branch"
            return [
                f"V{number} e{number} {minus} DC {device.volts!r}",
                f"RV{number} e{number} {plus} {device.ohm!r}",
            ]
        if isinstance(device, Load):
            form = {
                "current": f"I{number} {plus} {minus} DC {device.amount!r}",
                "power": f"B{number} {plus} {minus} I={device.amount!r}/max({across},6)",
                "resistance": f"RL{number} {plus} {minus} {device.amount!r}",
            }
            return [form[device.behaves]]
        assert isinstance(device, Supply)
        limit = repr(device.limit_a)
        lines = [f"VS{number} s{number} {plus} DC 0"]
        lines.append(f"RS{number} {plus} {minus} 1e7")  # so that a supply with no load has a slope
        self.meters[f"device {device.name}"] = f"vs{number}#branch"
        if device.inlet is not None:
            inlet = device.inlet
            a, b = self.names[inlet.plus], self.names[inlet.minus]
            fed = f"V({a},{b})"
            watts = f"{across}*i(VS{number})/{inlet.efficiency!r}"
            lines.append(f"BI{number} {a} {b} I={watts}/max({fed},6)")
            if inlet.limit_a is not None:
                limit = f"min({limit},{inlet.limit_a * inlet.efficiency!r}*max({fed},0)/max({across},6))"
        if self.found is None:
            held = f"max(({device.volts!r}-{across})/{device.ohm!r},0)"
            return [*lines, f"B{number} {minus} s{number} I=min({held},{limit})"]
        amps = self.found.device_amps[device.name]
        volts = self.found.volts[device.plus] - self.found.volts[device.minus]
        if abs(device.volts - amps * device.ohm - volts) < 1e-6:
            held = f"V{number} h{number} {minus} DC {device.volts!r}"
            return [*lines, held, f"RH{number} h{number} s{number} {device.ohm!r}"]
        if amps > 1e-6:
            return [*lines, f"B{number} {minus} s{number} I={limit}"]
        return [*lines, f"RI{number} {minus} s{number} 1e9"]

    def read(self, answer: Mapping[str, float]) -> Answer:
        if not answer:
            return {}, {}
        volts = {node: 0.0 if name == "0" else answer[name] for node, name in self.names.items()}
        amps = {name: answer[meter] for name, meter in self.meters.items()}
        for name, loose, other in reversed(self.ends):
            if other in volts:
                volts[loose] = volts[other]
                amps[name] = 0.0
        for device in self.devices:
            if isinstance(device, Battery) and f"device {device.name}" in amps:
                amps[f"device {device.name}"] *= -1  # ngspice counts what flows into the plus of a source
        return volts, amps


VAN = """
van: {name: Test, nominal: 12 V, size: {length: 6 m, width: 2 m, driver: left}, invented: true}
workshop: {name: Test workshop}
places: {box: {label: in the box, at: {back: 1 m, across: 1 m}}}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 100 Ah, resistance: 4 mΩ}
  main: {kind: fuse, name: main fuse, place: box, family: E, rating: 50 A}
  board: {kind: fuse-board, name: board, place: box, family: C, rows: 1, columns: 4}
  minus: {kind: busbar, name: negative bar, place: box, rating: 100 A}
loads:
  lamp: {name: lamp, place: box, power: 24 W}
  router: {name: router, place: box, power: 36 W, behaves: power}
cables:
  - {id: plus, from: house.+, to: main.in, length: 0.2 m, area: 16 mm²}
  - {id: feed, from: main.out, to: board.in, length: 1 m, area: 16 mm²}
  - {id: back, from: minus, to: house.-, length: 1 m, area: 16 mm²}
circuits:
  - id: lamp
    fuse: {board: board, position: 1, rating: 5 A}
    cable: {length: 4 m, area: 1.5 mm²}
    load: lamp
    return: minus
  - id: router
    fuse: {board: board, position: 2, rating: 7.5 A}
    cable: {length: 3 m, area: 1.5 mm²}
    load: router
    return: minus
"""


def read(path: Path) -> Van:
    return Van.of(load(path))


@pytest.fixture
def van(tmp_path: Path) -> Callable[..., Van]:
    """A small van after replacing some text of its file."""

    def make(*changes: tuple[str, str]) -> Van:
        text = VAN
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / "van.yml"
        path.write_text(text, encoding="utf-8")
        return read(path)

    return make


@pytest.fixture(scope="session")
def demo_vans() -> dict[str, Van]:
    """The demonstration vans by name."""
    folder = Path(__file__).parents[2] / "sites"
    return {path.parent.name: read(path) for path in sorted(folder.glob("*/van.yml"))}
