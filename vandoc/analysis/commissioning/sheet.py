"""The measurements of one van in the order in which they are taken, with expected values and limits."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from vandoc.analysis.commissioning.measurement import PHASES, Measurement, cited, taken
from vandoc.analysis.commissioning.proofs import proofs
from vandoc.ground.calc.battery import full_voltage_v, rest_voltage, rest_voltage_at
from vandoc.ground.calc.conductor import resistance_per_metre
from vandoc.ground.calc.operating_point import OperatingPoint
from vandoc.ground.data import constant
from vandoc.model import equipment as eq
from vandoc.model.system import CompletedSystem
from vandoc.model.traits import Positions
from vandoc.physics.network.expand import load_current
from vandoc.physics.network.graph import Conductor, Network, owner_of, splits_charge
from vandoc.physics.network.operating import SolvedState, Wiring
from vandoc.physics.network.single_loads import SingleLoads
from vandoc.physics.network.states import CHARGES, OperatingState
from vandoc.physics.sizing import Sizing

FEEDING = ("battery", "converter")
MODEL_SOURCE = "nodal analysis of the van's wiring (textbook method)"


def sheet(
    system: CompletedSystem, network: Network, sizing: Sizing, solved: Mapping[OperatingState, SolvedState]
) -> tuple[Measurement, ...]:
    """Return the measurements of a van in the order in which they are taken.

    Parameters
    ----------
    system, network, sizing : CompletedSystem, Network, Sizing
    solved : mapping
        The solved wiring in each operating state that has an operating point.
    """
    bench = _Bench(system, network, sizing, solved)
    found = (
        *bench.torques(),
        *bench.insulation(),
        *bench.earths(),
        *bench.rests(),
        *bench.voltages(),
        *bench.drains(),
        *proofs(system, network),
        *bench.cables(),
        *bench.drops(),
        *bench.charging(),
        *bench.capacities(),
    )
    return tuple(sorted(found, key=lambda one: PHASES.index(one.phase)))


@dataclass(frozen=True)
class _Bench:
    system: CompletedSystem
    network: Network
    sizing: Sizing
    solved: Mapping[OperatingState, SolvedState]

    @cached_property
    def recorded(self) -> frozenset[str]:
        return frozenset(taken(self.system))

    @cached_property
    def wiring(self) -> Wiring:
        return Wiring(self.system, self.network, self.sizing.conductors, self.sizing.fuses)

    def boards(self) -> Iterator[tuple[str, Positions]]:
        for ident, piece in self.system.equipment.items():
            if (held := piece.positions()) is not None:
                yield ident, held

    @cached_property
    def batteries(self) -> list[tuple[str, eq.Battery]]:
        return list(self.system.batteries.items())

    def nominal_v(self, battery: eq.Battery) -> float:
        return battery.nominal_v or self.system.van.nominal_v

    def heavy(self, cable: Conductor) -> bool:
        thick = constant("torque stated from").value
        return not cable.vehicle and not cable.signal and self.sizing.conductors[cable.id].area_mm2 >= thick

    # Before power

    def torques(self) -> Iterator[Measurement]:
        """Every stud with a heavy cable or a stated torque; without a figure, the manufacturer's applies."""
        found: dict[str, float | None] = {}
        for cable in self.network.conductors.values():
            if cable.vehicle or cable.signal:
                continue
            for end in (cable.start, cable.end):
                piece = self.system.equipment.get(owner_of(end))
                stated = cable.torque_nm or (piece.torque_nm if piece else None)
                for subject in self._lugs(cable, end, piece):
                    if found.get(subject) is None:
                        found[subject] = stated
        tolerance = constant("torque tolerance")
        for subject, torque in found.items():
            low, high = (None, None)
            if torque is not None:
                low, high = torque * (1 - tolerance.value), torque * (1 + tolerance.value)
            end = subject.partition(" ")[0]
            yield Measurement(
                f"torque.{subject}", "before power", (end,), torque, low, high, cited(tolerance)
            )

    def _lugs(self, cable: Conductor, end: str, piece: eq.Piece | None) -> Iterator[str]:
        """Yield what is tightened at an end: the stud, or on a bar the lug of each cable.

        A bar as a whole stays on the sheet where an earlier reading names it.
        """
        if piece is None:
            return
        if not piece.stud_for_each():
            if self.heavy(cable):
                yield end
            return
        if f"torque.{end}" in self.recorded:
            yield end
        yield f"{end} {cable.id}"

    def insulation(self) -> Iterator[Measurement]:
        least = constant("least insulation")
        for ident, held in self.boards():
            feed = f"{ident}.{held.feed}"
            minus = next((f"{ident}.-" for ident, b in self.batteries if b.role == "leisure"), None)
            if minus is not None and self.network.at(feed):
                yield Measurement(
                    f"insulation.{ident}",
                    "before power",
                    (feed, minus),
                    None,
                    least.value,
                    None,
                    cited(least),
                )

    def earths(self) -> Iterator[Measurement]:
        usual, most = constant("earth resistance"), constant("largest earth joint")
        for joint in self.network.joints.values():
            if joint.kind != "earth":
                continue
            ident = joint.owner
            yield Measurement(
                f"earth.{ident}",
                "before power",
                (ident, "chassis"),
                usual.value,
                None,
                most.value,
                cited(most),
            )

    def rests(self) -> Iterator[Measurement]:
        least = constant("least charge at rest")
        for ident, battery in self.batteries:
            volts = self.nominal_v(battery)
            curve = rest_voltage(battery.chemistry, volts, battery.cells)
            if not curve:
                continue
            low = rest_voltage_at(battery.chemistry, least.value, volts, battery.cells)
            full = full_voltage_v(battery.chemistry, volts, battery.cells)
            # Shortly after charging, the voltage is still a little above the open-circuit voltage.
            high = full + constant("charge voltage tolerance").value * volts / 12
            yield Measurement(
                f"rest-voltage.{ident}",
                "before power",
                (f"{ident}.+", f"{ident}.-"),
                full,
                low,
                high,
                cited(curve[0], least),
            )

    # At power-up

    def voltages(self) -> Iterator[Measurement]:
        """The voltage at each fuse board with all loads off: correct polarity, no less than the battery's."""
        night = self.wiring.solve(OperatingState.NIGHT, frozenset())
        if not isinstance(night, SolvedState):
            return
        least = constant("least charge at rest")
        for ident, held in self.boards():
            feed = f"{ident}.{held.feed}"
            reached = self.network.joined(feed)
            feeds = [
                s for s in self.network.sources if s.kind in ("battery", "converter") and s.plus in reached
            ]
            feeds.sort(key=lambda s: getattr(self.system.equipment[s.owner], "role", "") == "starter")
            source = feeds[0] if feeds else None
            found = night.across_v(feed, source.minus) if source else None
            if source is None or found is None:
                continue
            battery = self.system.batteries.get(source.owner)
            if battery is not None:
                which = (source.nominal_v, battery.cells)
                if not rest_voltage(battery.chemistry, *which):
                    continue
                low = rest_voltage_at(battery.chemistry, least.value, *which)
                high = full_voltage_v(battery.chemistry, *which)
            else:
                part = constant("charge voltage tolerance").value / 12
                low, high = source.nominal_v * (1 - 2 * part), source.nominal_v * (1 + 5 * part)
            high += constant("charge voltage tolerance").value * source.nominal_v / 12
            yield Measurement(
                f"voltage.{ident}",
                "power-up",
                (feed, source.minus),
                found if battery is None else None,
                low,
                high,
                (MODEL_SOURCE, *cited(least)),
            )

    def drains(self) -> Iterator[Measurement]:
        """The standby current: monitors, loads that run day and night, devices in standby."""
        each, allowance = constant("drain of a device at rest"), constant("drain allowance")
        tolerance = constant("reading tolerance")
        for ident, battery in self.batteries:
            if battery.role != "leisure":
                continue
            reached = self.network.joined(f"{ident}.+")
            amps = 0.0
            for consumer in self.network.consumers:
                load = self.system.loads.get(consumer.owner)
                always = load is not None and load.hours is not None and load.hours.winter_h >= 24
                if consumer.plus in reached and load is not None and always:
                    amps += load_current(load, self.system.van.nominal_v)
                elif consumer.plus in reached and consumer.kind == "monitor":
                    amps += consumer.amps_a
                elif consumer.plus in reached and consumer.kind in ("inverter", "converter"):
                    amps += each.value
            chargers = [s for s in self.network.sources if s.kind == "charger" and s.plus in reached]
            amps += each.value * len(chargers)
            yield Measurement(
                f"drain.{ident}",
                "power-up",
                (f"{ident}.-",),
                amps,
                None,
                amps * (1 + tolerance.value) + allowance.value,
                cited(each, allowance),
            )
            return  # for batteries in parallel only at the first: one meter reads the current of all

    # Under load

    def cables(self) -> Iterator[Measurement]:
        """The drop of each heavy cable with its lugs, in the state in which it carries most."""
        tolerance, allowance = constant("reading tolerance"), constant("joint allowance")
        least = constant("least test current").value
        for cable in self.network.conductors.values():
            if not self.heavy(cable):
                continue
            state = max(self.solved.values(), key=lambda one: abs(one.amps[cable.id]), default=None)
            if state is None or abs(state.amps[cable.id]) < least:
                continue
            amps, ohm = abs(state.amps[cable.id]), state.ohms[cable.id]
            joints = 2 * allowance.value * resistance_per_metre(self.sizing.conductors[cable.id].area_mm2)
            charging = state.state in CHARGES
            yield Measurement(
                f"cable.{cable.id}",
                "charging" if charging else "under load",
                (cable.start, cable.end),
                amps * ohm,
                None,
                amps * (ohm * (1 + tolerance.value) + joints),
                (MODEL_SOURCE, *cited(allowance, tolerance)),
                amps,
                state.state.value,
            )

    def drops(self) -> Iterator[Measurement]:
        """The voltage drop of supply and return of each load when it runs alone."""
        tolerance, allowance = constant("reading tolerance"), constant("joint allowance")
        lone = SingleLoads(self.wiring, OperatingState.NIGHT)
        for consumer in self.network.consumers:
            drop = self.sizing.drops.get(consumer.owner)
            if consumer.kind not in ("load", "inverter") or drop is None:
                continue
            solved = lone.solve(consumer)
            if not isinstance(solved, OperatingPoint) or not solved.device_amps.get(consumer.owner):
                continue
            lost, joints = 0.0, 0.0
            for ident, _, _ in drop.steps:
                amps = abs(solved.amps.get(ident, 0.0))
                lost += amps * solved.ohms.get(ident, 0.0)
                if ident in self.network.conductors:
                    area = self.sizing.conductors[ident].area_mm2
                    joints += 2 * amps * allowance.value * resistance_per_metre(area)
            yield Measurement(
                f"drop.{consumer.owner}",
                "under load",
                (f"{consumer.owner}.+", f"{consumer.owner}.-"),
                lost,
                None,
                lost * (1 + tolerance.value) + joints,
                (MODEL_SOURCE, *cited(allowance, tolerance)),
                solved.device_amps[consumer.owner],
                consumer.owner,
            )

    # Charging

    def charging(self) -> Iterator[Measurement]:
        """At the battery, for each source: its final charging voltage and its current."""
        chargers = self.system.of_kind(eq.Charger)
        for source in self.network.sources:
            if source.owner in chargers:
                reached = self.network.joined(source.plus)
                charged = next(
                    (b for b in self.batteries if f"{b[0]}.+" in reached and b[1].role == "leisure"), None
                )
                if charged is not None:
                    yield from self._charged(source.owner, chargers[source.owner], *charged)
        leisure = [b for b in self.batteries if b[1].role == "leisure"]
        for joint in self.network.joints.values():
            if splits_charge(joint) and leisure:
                yield from self._voltage(joint.owner, None, *leisure[0])

    def _charged(
        self, ident: str, charger: eq.Charger, battery_id: str, battery: eq.Battery
    ) -> Iterator[Measurement]:
        share = constant("least share of charge current")
        states = {source: state for state, source in CHARGES.items()}
        solved = self.solved.get(states[charger.source])
        if solved is not None and (amps := solved.device_amps.get(ident)):
            low = None if charger.source == "solar" else amps * share.value
            high = charger.output_a * (1 + constant("reading tolerance").value)
            yield Measurement(
                f"charge-current.{ident}",
                "charging",
                (f"{ident}.out",),
                amps,
                low,
                high,
                (MODEL_SOURCE, *cited(share)),
                running=solved.state.value,
            )
        yield from self._voltage(ident, charger.profile, battery_id, battery)

    def _voltage(
        self, ident: str, profile: eq.Profile | None, battery_id: str, battery: eq.Battery
    ) -> Iterator[Measurement]:
        """Nothing where the chemistry's charging voltages are not known: what is right cannot be said."""
        volts = self.nominal_v(battery)
        margin = constant("charge voltage tolerance").value * volts / 12
        wanted = battery.absorption_range(volts)
        if wanted is None:
            return
        low, high = wanted.low, wanted.high
        expected = None
        if profile is not None:
            expected = profile.absorption_v
            low, high = max(low, expected - margin), min(high, expected + margin)
            if low > high:  # the profile does not suit the battery: the battery's own limits apply
                low, high = wanted.low, wanted.high
        yield Measurement(
            f"charge-voltage.{ident}",
            "charging",
            (f"{battery_id}.+", f"{battery_id}.-"),
            expected,
            low,
            high,
            cited(wanted, constant("charge voltage tolerance")),
        )

    def capacities(self) -> Iterator[Measurement]:
        """A test that takes a day; at hand-over it gives the reference for later tests."""
        worn = constant("capacity when worn out")
        for ident, battery in self.batteries:
            if battery.role == "leisure":
                yield Measurement(
                    f"capacity.{ident}",
                    "charging",
                    (f"{ident}.-",),
                    battery.capacity_ah,
                    battery.capacity_ah * worn.value,
                    None,
                    cited(worn),
                )
