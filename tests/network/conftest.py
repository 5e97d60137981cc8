"""The same network told to ngspice: many in one process, each current read by an ammeter of its own."""

import os
import shutil
import subprocess
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest

from vandoc.calc.devices import Battery, Device, Load, Supply
from vandoc.calc.nodal import Nodal

Net = tuple[Mapping[str, tuple[str, str]], Mapping[str, float], Sequence[Device]]
Answer = tuple[dict[str, float], dict[str, float]]


@pytest.fixture(scope="session")
def ngspice_points(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Sequence[Net]], list[Answer]]:
    """Operating points by ngspice: nets to voltages by node and currents by wire and supply.

    Its options ask for 1e-7; each part of a net has its first source's minus as 0 V.
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
    ) -> None:
        self.wires, self.devices = dict(wires), devices
        self.ends = self._take_off_ends()
        live, earths = self._live()
        self.names = {node: "0" if node in earths else f"n{number}" for number, node in enumerate(live)}
        self.meters: dict[str, str] = {}
        self.lines = [".options reltol=1e-7 abstol=1e-7 vntol=1e-7 gmin=1e-15 pivrel=0.5 itl1=2000"]
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
        pairs += [(d.minus, d.plus) for d in self.devices if not isinstance(d, Load)]
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
        return net.solve()

    def _device(self, number: int, device: Device) -> list[str]:
        plus, minus = self.names[device.plus], self.names[device.minus]
        across = f"V({plus},{minus})"
        if isinstance(device, Battery):
            self.meters[device.name] = f"v{number}#branch"
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
        self.meters[device.name] = f"vs{number}#branch"
        if device.inlet is not None:
            inlet = device.inlet
            a, b = self.names[inlet.plus], self.names[inlet.minus]
            fed = f"V({a},{b})"
            watts = f"{across}*i(VS{number})/{inlet.efficiency!r}"
            lines.append(f"BI{number} {a} {b} I={watts}/max({fed},6)")
            if inlet.limit_a is not None:
                limit = f"min({limit},{inlet.limit_a * inlet.efficiency!r}*max({fed},0)/max({across},6))"
        held = f"max(({device.volts!r}-{across})/{device.ohm!r},0)"
        return [*lines, f"B{number} {minus} s{number} I=min({held},{limit})"]

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
            if isinstance(device, Battery) and device.name in amps:
                amps[device.name] *= -1  # ngspice counts what flows into the plus of a source
        return volts, amps
