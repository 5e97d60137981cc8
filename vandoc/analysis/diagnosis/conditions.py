"""The condition of each device and the light that shows it.

Only lights with a condition (`when`) in the van file or part sheet are used.
"""

from collections.abc import Mapping

from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.observations import Faults, Read
from vandoc.analysis.diagnosis.trial import Activity, Point, Trial
from vandoc.ground.data import constant
from vandoc.model import equipment as eq
from vandoc.model.system import CompletedSystem
from vandoc.model.wiring import Load

DARK = "dark"
CHARGING_FROM = 0.05  # of the rated output; less only keeps a full battery at float voltage


class Conditions:
    """The conditions of all devices of one van.

    Parameters
    ----------
    bench : FaultBench
        The van on which faults are tried.
    """

    def __init__(self, bench: FaultBench) -> None:
        self.bench, self.system = bench, bench.system
        self._consumers = {
            c.owner: c
            for c in bench.network.consumers
            if c.kind in ("load", "inverter", "monitor", "converter")
        }

    def is_dead(self, thing: str, faults: Faults) -> bool:
        """Whether one of the faults is in the device itself."""
        return any(fault.kind in ("dead", "shorted") and fault.cause.part == thing for fault in faults)

    def ends(self, thing: str) -> tuple[str, str]:
        """Return the positive and the negative terminal of a device."""
        consumer = self._consumers[thing]
        return consumer.plus, consumer.minus

    def lowest_v(self, thing: str) -> float:
        """Return the minimum operating voltage of a device, stated or by default. [V]"""
        stated = things(self.system)[thing].least_v()
        usual = constant("lowest voltage of a load").value * self._consumers[thing].nominal_v
        return usual if stated is None else stated

    def with_lights(self, trial: Trial) -> list[str]:
        """Return the devices with lights that have a meaning in a trial."""
        return [
            thing
            for thing, piece in things(self.system).items()
            if any(light.when for light in piece.indicators) and self._shows_in(piece, trial)
        ]

    def _shows_in(self, piece: eq.Piece | Load, trial: Trial) -> bool:
        lights = piece.lights()
        if lights is None:
            return False
        doing = {"use": Activity.USE, "inverter": Activity.INVERTER}.get(lights.during)
        return trial.charging == lights.during if doing is None else trial.doing is doing

    def _follow(self, thing: str) -> str:
        piece = things(self.system)[thing]
        lights = piece.lights()
        return "voltage" if lights is None else lights.follow

    def looks(self, thing: str) -> dict[str, str]:
        """Return the light for each condition of a device: its number from 1, or `dark`."""
        return {
            light.when: DARK if light.pattern == "off" else f"light {number}"
            for number, light in enumerate(things(self.system)[thing].indicators, 1)
            if light.when is not None
        }

    def bands(self, thing: str) -> tuple[tuple[float, ...], tuple[str, ...]]:
        """Return how the light of a device follows its voltage or current.

        Returns
        -------
        limits : tuple of float
            Ascending; in V, or in A for a charger. Empty if the light follows neither.
        lights : tuple of str
            The light in each band between them: one more than limits.
        """
        looks = self.looks(thing)

        def look(*conditions: str) -> tuple[str, ...]:
            return tuple(looks.get(condition, DARK) for condition in conditions)

        follow = self._follow(thing)
        if follow == "charging":
            limit_a = next(s.limit_a for s in self.bench.network.sources if s.owner == thing)
            return (CHARGING_FROM * (limit_a or 0.0),), look("full", "charging")
        if follow != "voltage":
            return (), ()
        lowest = self.lowest_v(thing)
        return (lowest / 3, lowest), (DARK, *look("low voltage", "powered"))

    def reader(self, thing: str, trial: Trial) -> Read:
        """Return a function that reads the light of a device, or its value for `bands`, in a solved van."""
        looks = self.looks(thing)

        def charger(faults: Faults, point: Point) -> float | str:
            if self.is_dead(thing, faults):
                return DARK
            if any(f.kind == "not-feeding" for f in faults) and trial.doing is Activity.SUN:
                return looks.get("no input", DARK)
            if thing in point.stopped:
                return looks.get("no input", DARK)
            return point.amps_of(thing)

        def relay(faults: Faults, _point: Point) -> str:
            stuck = any(f.kind == "stuck-open" and f.cause.part == thing for f in faults)
            return DARK if stuck else looks.get("charging", DARK)

        def battery(_faults: Faults, point: Point) -> str:
            return looks.get("low voltage", DARK) if thing in point.stopped else looks.get("powered", DARK)

        def device(faults: Faults, point: Point) -> float | str:
            return DARK if self.is_dead(thing, faults) else point.across_v(*self.ends(thing))

        readers: dict[str, Read] = {"charging": charger, "contact": relay, "battery": battery}
        return readers.get(self._follow(thing), device)


def things(system: CompletedSystem) -> Mapping[str, eq.Piece | Load]:
    """Return items of equipment and loads by identifier."""
    return system.things
