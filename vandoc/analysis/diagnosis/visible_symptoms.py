"""Symptoms that an owner may see: quantities of the solved van outside their normal range."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import fsum

from vandoc.analysis.diagnosis.conditions import DARK, Conditions
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.named_loads import NamedLoads
from vandoc.analysis.diagnosis.observations import Faults
from vandoc.analysis.diagnosis.trial import Activity, Point, Trial
from vandoc.ground.data import constant
from vandoc.physics.network.graph import Joint

Quantity = Callable[[Faults, Point], float]


@dataclass(frozen=True)
class SymptomView:
    """One criterion of a symptom: in a trial, a quantity is `low` or more and less than `high`.

    Attributes
    ----------
    trial : Trial
    quantity : callable
        Takes faults and a solved van; returns the value.
    low, high : float
        In the unit of the quantity.
    thing : str or None
        The device whose voltage the quantity is, if it is one.
    """

    trial: Trial
    quantity: Quantity
    low: float
    high: float
    thing: str | None = None


@dataclass(frozen=True)
class Symptom:
    """A symptom that an owner may see.

    Attributes
    ----------
    id : str
        Kind and subject, such as ``stopped pump``.
    kind : str
    subject : str
        The load, item, light or trial; empty if it is the entire van.
    views : tuple of SymptomView
        Its criteria; one that is met is enough.
    """

    id: str
    kind: str
    subject: str
    views: tuple[SymptomView, ...]

    def seen(self, faults: Faults, solved: Callable[[Trial], Point]) -> bool:
        """Return whether a van with these faults shows it; `solved` returns the van in a trial."""
        return any(view.low <= view.quantity(faults, solved(view.trial)) < view.high for view in self.views)


class Symptoms:
    """The symptoms of one van.

    Parameters
    ----------
    bench : FaultBench
        The van into which faults are injected.
    conditions : Conditions
        The conditions of its devices.
    named : NamedLoads
        The loads that are switched on.
    """

    def __init__(self, bench: FaultBench, conditions: Conditions, named: NamedLoads) -> None:
        self.bench, self.system, self.conditions, self.named = bench, bench.system, conditions, named
        self._batteries = self.system.batteries

    def all(self) -> Iterator[Symptom]:
        """Yield every symptom, without the criteria that are met without a fault as well."""
        for symptom in self._candidates():
            views = tuple(view for view in symptom.views if not self._is_normal(view))
            if views:
                yield replace(symptom, views=views)

    def _is_normal(self, view: SymptomView) -> bool:
        return view.low <= view.quantity((), self.bench.healthy(view.trial)) < view.high

    def _candidates(self) -> Iterator[Symptom]:
        """The symptoms of the entire van, of each load, of other devices, of charging and of lights."""
        whole, alone = self.named.whole(), self.named.alone
        loads = [ident for ident in self.system.loads if self.runs(ident, alone(ident))]
        if len(loads) > 1:
            yield Symptom("all-dead", "all-dead", "", (SymptomView(whole, self._best(loads), 0.0, 1.0),))
        yield from self._half_dead(loads)
        for ident in loads:
            yield self._stopped(ident, alone(ident))
        for ident in loads:
            if self.system.loads[ident].importance == "lighting":
                yield self._weak("weak", ident)
            elif self.system.loads[ident].runs_slowly():
                yield self._weak("slow", ident)
        for consumer in self.bench.network.consumers:
            ident = consumer.owner
            if consumer.kind == "inverter" and self.runs(ident, Trial.INVERTER):
                yield self._stopped(ident, Trial.INVERTER)
                yield self._cuts_out(ident)
            elif consumer.kind == "monitor" and self.runs(ident, whole):
                yield self._stopped(ident, whole)
        yield from self._charging()
        still_on = tuple(self._still_on())
        yield from self._flat_fast(still_on)
        yield from self._starter()
        yield from still_on
        yield from self._lights()

    def runs(self, thing: str, trial: Trial) -> bool:
        """Whether a device works without a fault."""
        ends = self.conditions.ends(thing)
        return self.bench.healthy(trial).across_v(*ends) >= self.conditions.lowest_v(thing)

    def _volts(self, thing: str) -> Quantity:
        ends = self.conditions.ends(thing)

        def volts(faults: Faults, point: Point) -> float:
            return 0.0 if self.conditions.is_dead(thing, faults) else point.across_v(*ends)

        return volts

    def _best(self, loads: list[str]) -> Quantity:
        """The highest ratio of voltage to minimum operating voltage of several loads."""
        each = [(self._volts(load), self.conditions.lowest_v(load)) for load in loads]

        def best(faults: Faults, point: Point) -> float:
            return max(0.0, *(volts(faults, point) / lowest for volts, lowest in each))

        return best

    def _half_dead(self, loads: list[str]) -> Iterator[Symptom]:
        """Nothing on one of several fuse boards works; one of its loads at least is switched on."""
        whole = self.named.whole()
        on: dict[str, list[str]] = {}
        for circuit in self.system.circuits:
            on.setdefault(circuit.fuse.board, []).extend(load for load in circuit.loads if load in loads)
        for board, several in on.items():
            if 1 < len(several) < len(loads):
                drawn = whole if set(several).intersection(whole.on or ()) else self.named.alone(several[0])
                view = SymptomView(drawn, self._best(several), 0.0, 1.0)
                yield Symptom(f"half-dead {board}", "half-dead", board, (view,))

    def _stopped(self, thing: str, trial: Trial) -> Symptom:
        lowest = self.conditions.lowest_v(thing)
        below = -2 * self.system.van.nominal_v
        return Symptom(
            f"stopped {thing}",
            "stopped",
            thing,
            (SymptomView(trial, self._volts(thing), below, lowest, thing),),
        )

    def _weak(self, kind: str, thing: str) -> Symptom:
        alone = self.named.alone(thing)
        usual = self.bench.healthy(alone).across_v(*self.conditions.ends(thing))
        limits = self.conditions.lowest_v(thing), constant("worth noticing").value * usual
        return Symptom(
            f"{kind} {thing}", kind, thing, (SymptomView(alone, self._volts(thing), *limits, thing),)
        )

    def _cuts_out(self, inverter: str) -> Symptom:
        """The inverter switches on and stops under load: its voltage is not zero, but too low."""
        lowest = self.conditions.lowest_v(inverter)
        view = SymptomView(Trial.INVERTER, self._volts(inverter), lowest / 100, lowest, inverter)
        return Symptom(f"cuts-out {inverter}", "cuts-out", inverter, (view,))

    def _charging(self) -> Iterator[Symptom]:
        """No charge from one source, and a battery that is never fully charged."""
        views = []
        for trial in self.bench.trials():
            usual = self._charging_a((), self.bench.healthy(trial))
            if trial.charging and usual > constant("reverse current").value:
                limit = constant("charging well").value * usual
                views.append(SymptomView(trial, self._charging_a, -1e6, limit))
                during = trial.doing.value
                yield Symptom(f"not-charging {during}", "not-charging", during, (views[-1],))
        for ident, piece in self._batteries.items():
            if piece.role == "leisure":
                whole = self.named.whole()
                usual = self.bench.healthy(whole).across_v(f"{ident}.+", f"{ident}.-")
                limit = constant("as expected").value * usual
                resting = SymptomView(whole, self._across(ident), -1.0, limit)
                yield Symptom(f"never-full {ident}", "never-full", ident, (resting, *views))

    def _charging_a(self, _faults: Faults, point: Point) -> float:
        """The charging current of the leisure batteries. [A]"""
        leisure = (ident for ident, piece in self._batteries.items() if piece.role == "leisure")
        return -fsum(point.amps_of(battery) for battery in leisure)

    def _across(self, battery: str) -> Quantity:
        def volts(_faults: Faults, point: Point) -> float:
            return 0.0 if battery in point.stopped else point.across_v(f"{battery}.+", f"{battery}.-")

        return volts

    def _flat_fast(self, still_on: tuple[Symptom, ...]) -> Iterator[Symptom]:
        """A battery goes flat too fast: it is weak itself, or something draws that should be off."""
        drawing = tuple(view for symptom in still_on if symptom.kind == "still-on" for view in symptom.views)
        for ident, piece in self._batteries.items():
            if piece.role == "leisure":
                whole = self.named.whole()
                limit = constant("as expected").value * self._across(ident)((), self.bench.healthy(whole))
                resting = SymptomView(whole, self._across(ident), -1.0, limit)
                yield Symptom(f"flat-fast {ident}", "flat-fast", ident, (resting, *drawing))

    def _starter(self) -> Iterator[Symptom]:
        """The starter battery discharges: it is not charged while driving, or supplies the parked van."""
        for ident, piece in self._batteries.items():
            if piece.role != "starter":
                continue

            def supplied_a(_faults: Faults, point: Point, ident: str = ident) -> float:
                return point.amps_of(ident)

            whole = self.named.whole()
            views = [SymptomView(whole, supplied_a, constant("reverse current").value, 1e6)]
            if Trial.DRIVING in self.bench.trials():
                driven = self.bench.healthy(Trial.DRIVING).across_v(f"{ident}.+", f"{ident}.-")
                resting = self.bench.healthy(whole).across_v(f"{ident}.+", f"{ident}.-")
                limit = (driven + resting) / 2
                views.append(SymptomView(Trial.DRIVING, self._across(ident), -1.0, limit))
            yield Symptom(f"starter-flat {ident}", "starter-flat", ident, tuple(views))

    def _still_on(self) -> Iterator[Symptom]:
        """A device that works although its contact is off; isolators in parallel are off together."""
        contacts = [contact for contact in self.bench.network.joints.values() if self._is_switched(contact)]
        isolators = tuple(contact.id for contact in contacts if contact.kind == "isolator")
        for contact in contacts:
            together = [(contact.id,), isolators] if contact.kind == "isolator" else [(contact.id,)]
            views = (
                self._goes_on(trial, replace(trial, off=off))
                for off in together  # alone first: what stops with all isolators off may hide this one
                for trial in self.bench.trials()
            )
            view = next((view for view in views if view is not None), None)
            if view is not None:
                kind = "still-charging" if view.trial.charging else "still-on"
                yield Symptom(f"{kind} {contact.owner}", kind, contact.owner, (view,))

    def _is_switched(self, contact: Joint) -> bool:
        return contact.kind in ("isolator", "switch", "relay") and not contact.with_engine

    def _goes_on(self, on: Trial, off: Trial) -> SymptomView | None:
        """The criterion that something works that stops without a fault; None if nothing stops."""
        if on.charging:
            limit = constant("charging well").value * self._charging_a((), self.bench.healthy(on))
            stops = limit > constant("reverse current").value > self._charging_a((), self.bench.healthy(off))
            return SymptomView(off, self._charging_a, limit, 1e6) if stops else None
        stopped = [thing for thing in self._running(on) if not self.runs(thing, off)]
        return SymptomView(off, self._best(stopped), 1.0, 1e6) if stopped else None

    def _running(self, trial: Trial) -> Iterator[str]:
        """The loads and monitors that work in a trial, or the inverter."""
        kind = "inverter" if trial == Trial.INVERTER else "monitor"
        pieces = [consumer.owner for consumer in self.bench.network.consumers if consumer.kind == kind]
        loads = self.system.loads if trial == Trial.USE else ()
        yield from (thing for thing in (*loads, *pieces) if self.runs(thing, trial))

    def _lights(self) -> Iterator[Symptom]:
        """Each light that shows missing input or low voltage."""
        for trial in self.bench.trials():
            for thing in self.conditions.with_lights(trial):
                looks = self.conditions.looks(thing)
                seen = self.named.alone(thing) if trial.doing is Activity.USE else trial
                for condition in ("no input", "low voltage"):
                    look = looks.get(condition, DARK)
                    if look != DARK:
                        view = self._shows(thing, seen, look)
                        subject = f"{thing} {look.removeprefix('light ')}"
                        yield Symptom(f"light {subject}", "light", subject, (view,))

    def _shows(self, thing: str, trial: Trial, look: str) -> SymptomView:
        bands, _ = self.conditions.bands(thing)
        read = self.conditions.reader(thing, trial)
        if len(bands) > 1:
            lowest = bands[-1]
            return SymptomView(trial, self._volts(thing), bands[0], lowest, thing)

        def is_shown(faults: Faults, point: Point) -> float:
            value = read(faults, point)
            return float(value == look if isinstance(value, str) else False)

        return SymptomView(trial, is_shown, 0.5, 1.5)
