"""Vans made up by chance from a seed: every kind of wiring that a van file can say, in sound sizes."""

from random import Random

from vandoc.analysis import Van
from vandoc.model.system import CompletedSystem, System

Entry = dict[str, object]


def generated(seed: int, circuits: int | None = None) -> CompletedSystem:
    """Return a van.

    Parameters
    ----------
    seed : int
    circuits : int, optional
        How many final circuits; by chance from 3 to 14 when left out.
    """
    return Van(System.model_validate(_Van(Random(seed), circuits).file())).system


class _Van:
    def __init__(self, pick: Random, circuits: int | None) -> None:
        self.pick = pick
        self.volts = pick.choice([12, 12, 12, 24])
        self.count = circuits or pick.randint(3, 14)
        self.equipment: dict[str, Entry] = {}
        self.loads: dict[str, Entry] = {}
        self.cables: list[Entry] = []
        self.circuits: list[Entry] = []

    def file(self) -> Entry:
        self._battery()
        self._vehicle()
        self._sun()
        self._hook_up()
        self._inverter()
        self._boards()
        return {
            "van": {
                "name": "Generated",
                "nominal": f"{self.volts} V",
                "size": {"length": "6 m", "width": "2 m", "driver": "left"},
                "invented": True,
            },
            "workshop": {"name": "Generated workshop"},
            "places": {
                "box": {"label": "in the box", "at": {"back": "1 m", "across": "1 m"}, "access": "Lift it."},
                "wall": {"label": "on the wall", "at": {"back": "3 m", "across": "1 m"}},
            },
            "equipment": self.equipment,
            "loads": self.loads,
            "cable_defaults": {"insulation": "105 °C"},
            "cables": self.cables,
            "circuits": self.circuits,
        }

    def _piece(self, ident: str, kind: str, **keys: object) -> str:
        self.equipment[ident] = {"kind": kind, "name": ident, "place": "box", **keys}
        return ident

    def _cable(self, start: str, end: str, metres: float = 0.5, area: float = 35, **keys: object) -> None:
        run: Entry = {
            "from": start,
            "to": end,
            "length": f"{metres} m",
            "area": f"{area:g} mm²",
            "bunched": 1,
        }
        self.cables.append({**run, **keys})

    def _fuse(self, ident: str, rating: int) -> str:
        family = "SF30" if rating <= 200 else "class-T"
        return self._piece(ident, "fuse", family=family, rating=f"{rating} A", voltage="32 V", stud="M8")

    def _battery(self) -> None:
        """Battery, main fuse, isolator, bars, and by chance a shunt and an earth point."""
        chemistry = self.pick.choice(["LiFePO4", "AGM", "flooded", "gel"])
        blocks = 1 if chemistry == "LiFePO4" else self.volts // 12
        amps = 100 + 10 * self.count
        self._piece("house", "battery", chemistry=chemistry, capacity=f"{amps} Ah", series=blocks)
        self._piece("plus", "busbar", rating="400 A")
        self._piece("minus", "busbar", rating="400 A")
        self._fuse("main-fuse", 300)
        self._cable("house.+", "main-fuse.in", 0.2, 70)
        if self.pick.random() < 0.8:
            self._piece("isolator", "isolator", rating="300 A")
            self._cable("main-fuse.out", "isolator.in", 0.3, 70)
            self._cable("isolator.out", "plus", 0.3, 70)
        else:
            self._cable("main-fuse.out", "plus", 0.3, 70)
        if self.pick.random() < 0.5:
            self._piece("shunt", "shunt", rating="500 A")
            self._cable("house.-", "shunt.battery", 0.3, 70)
            self._cable("shunt.system", "minus", 0.3, 70)
        else:
            self._cable("house.-", "minus", 0.3, 70)
        self._piece("earth", "earth-point")
        self._cable("minus", "earth", 0.4)

    def _vehicle(self) -> None:
        if self.pick.random() < 0.2:
            return
        self._piece(
            "starter", "battery", role="starter", chemistry="AGM", capacity="80 Ah", series=self.volts // 12
        )
        self._piece("alternator", "alternator", rating="150 A", regulation="fixed")
        self._cable("alternator.+", "starter.+", 1.5, vehicle=True)
        self._cable("starter.-", "chassis", 0.4, vehicle=True)
        self._fuse("front-fuse", 60)
        self._cable("starter.+", "front-fuse.in", 0.2, 25)
        if self.pick.random() < 0.4:
            self._fuse("rear-fuse", 60)
            self._piece("relay", "relay", purpose="split-charge", rating="140 A")
            self._cable("front-fuse.out", "relay.a", 4, 25)
            self._cable("relay.b", "rear-fuse.out", 0.3, 25)
            self._cable("rear-fuse.in", "plus", 0.3, 25)
            return
        signal = self.pick.random() < 0.6
        lights = [
            {**_light("blue", "steady"), "when": "charging"},
            {**_light("none", "off"), "when": "no input"},
        ]
        self._charger("driving", "alternator", 30, ignition_feed=signal, indicators=lights)
        self._cable("front-fuse.out", "driving.in", 4, 16)
        if signal:
            self._fuse("ignition-fuse", 30)
            self._piece("ignition", "ignition-contact", rating="10 A", live_with="engine")
            self._cable("starter.+", "ignition.in", 1, 1.5, vehicle=True)
            self._cable("ignition.out", "ignition-fuse.in", 0.3, 1.5, vehicle=True)
            self._cable("ignition-fuse.out", "driving.ignition", 4, 1, signal=True)

    def _charger(self, ident: str, source: str, amps: int, **keys: object) -> None:
        profile = {"absorption": f"{14.4 * self.volts / 12:g} V"}
        self._piece(ident, "charger", source=source, output=f"{amps} A", profile=profile, **keys)
        self._fuse(f"{ident}-fuse", 40)
        self._cable(f"{ident}.out", f"{ident}-fuse.out", 0.5, 10)
        self._cable(f"{ident}-fuse.in", "plus", 0.3, 10)
        self._cable(f"{ident}.-", "minus", 0.5, 10)

    def _sun(self) -> None:
        if self.pick.random() < 0.3:
            return
        panel = {"power": "115 W", "voc": "22.4 V", "isc": "6.5 A", "vmp": "18.6 V"}
        series = 2 * self.volts // 12 if self.pick.random() < 0.7 else 1 + self.volts // 12
        self._piece("panels", "solar-array", **panel, series=series)
        lights = [
            {**_light("green", "steady"), "when": "charging"},
            {**_light("green", "slow"), "when": "full"},
        ]
        self._charger("solar", "solar", 20, indicators=lights if self.pick.random() < 0.5 else [])
        self._cable("panels.+", "solar.pv+", 4, 4)
        self._cable("panels.-", "solar.pv-", 4, 4)

    def _hook_up(self) -> None:
        if self.pick.random() < 0.6:
            self._charger("hook-up", "mains", 30)

    def _inverter(self) -> None:
        if self.pick.random() < 0.4:
            self._piece("inverter", "inverter", power="1000 W", lowest=f"{10.5 * self.volts / 12:g} V")
            self._fuse("inverter-fuse", 150)
            self._cable("plus", "inverter-fuse.in", 0.2)
            self._cable("inverter-fuse.out", "inverter.+", 0.8)
            self._cable("inverter.-", "minus", 0.8)

    def _boards(self) -> None:
        """Boards of up to twelve positions; in a 24 V van one of them may hang on a converter."""
        boards = -(-self.count // self.pick.randint(6, 12))
        left = self.count
        for number in range(boards):
            board, bar = f"board-{number}", "minus"
            volts = self.volts
            self._piece(board, "fuse-board", family="C", rows=2, columns=6, place="wall")
            self._fuse(f"feed-{number}", 100)
            self._cable("plus", f"feed-{number}.in", 0.2, 25)
            start = f"feed-{number}.out"
            if self.volts == 24 and number == 0 and self.pick.random() < 0.6:
                volts = 12
                keys = {"input_voltage": "24 V", "output_voltage": "12 V", "output": "40 A"}
                self._piece("converter", "converter", **keys)
                self._cable(start, "converter.in", 0.5, 16)
                self._cable("converter.-", "minus", 0.5, 16)
                start = "converter.out"
            self._cable(start, f"{board}.in", 3, 25)
            if self.pick.random() < 0.6:
                bar = self._piece(f"bar-{number}", "busbar", rating="100 A")
                if self.pick.random() < 0.3:
                    ground = self._piece(f"earth-{number}", "earth-point")
                    self._cable(bar, ground, 0.5, 25)
                else:
                    self._cable(bar, "minus", 3, 25)
            here = min(left, 12) if number == boards - 1 else left // (boards - number)
            for position in range(1, here + 1):
                self._circuit(board, position, bar, volts)
            left -= here

    def _circuit(self, board: str, position: int, bar: str, volts: int) -> None:
        pick = self.pick
        names = []
        for _ in range(pick.choice([1, 1, 1, 2])):
            name = f"load-{len(self.loads)}"
            keys: Entry = {"name": name, "place": "wall", "nominal": f"{volts} V"}
            keys["behaves"] = pick.choice(["current", "power", "resistance"])
            keys["importance"] = pick.choice(["general", "lighting"])
            if pick.random() < 0.5:
                keys["power"] = f"{pick.randint(3, 30)} W"
            else:
                keys["current"] = f"{pick.choice([0.2, 0.5, 1, 2, 3])} A"
            if pick.random() < 0.4:
                keys["lowest"] = f"{10.5 * volts / 12:g} V"
            self.loads[name] = keys
            names.append(name)
        circuit: Entry = {
            "id": f"circuit-{len(self.circuits)}",
            "fuse": {"board": board, "position": position, "rating": "10 A"},
            "cable": {"length": f"{pick.randint(1, 5)} m", "area": "2.5 mm²"},
            "load": names[0] if len(names) == 1 else names,
            "return": bar,
        }
        chained, more = len(self.circuits) % 2 == 1, {"length": "1.5 m", "area": "1.5 mm²"}
        if pick.random() < 0.2:
            switch = self._piece(f"switch-{len(self.circuits)}", "switch", rating="10 A", place="wall")
            if chained:
                circuit["cable"] = [{**circuit["cable"], "to": switch}, *(more for _ in names)]
            else:
                circuit["switch"] = switch
        elif chained and len(names) > 1:
            circuit["cable"] = [circuit["cable"], more]
        self.circuits.append(circuit)


def _light(colour: str, pattern: str) -> Entry:
    return {"where": "front", "colour": colour, "pattern": pattern, "meaning": "It is so.", "do": "Nothing."}
