"""What an owner may see go wrong in a van, what may cause it, and what may be asked to find out which."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from vandoc.data import constant
from vandoc.diagnosis.families import Families, showing
from vandoc.diagnosis.faults import Fault, faults
from vandoc.diagnosis.injection import CHARGING, Bench, Point, Trial
from vandoc.diagnosis.observations import Faults, Observation
from vandoc.diagnosis.problem import Problem
from vandoc.diagnosis.questions import Questions
from vandoc.model import equipment as eq
from vandoc.model.system import System
from vandoc.network.graph import Edge, Network
from vandoc.network.operating import Wiring
from vandoc.sizing import Sizing

Quantity = Callable[[Faults, Point], float]


@dataclass(frozen=True)
class Symptom:
    """Something that is seen: a quantity of the solved van that lies where it should not.

    Attributes
    ----------
    id : str
        Kind and subject, such as ``stopped pump``.
    kind : str
    subject : str
        The load, piece or trial; empty where it is the whole van.
    trial : Trial
    quantity : callable
    low, high : float
        It is seen from `low` to below `high`.
    """

    id: str
    kind: str
    subject: str
    trial: Trial
    quantity: Quantity
    low: float
    high: float

    def seen(self, broken: Faults, point: Point) -> bool:
        """Whether a van with these faults shows it."""
        return self.low <= self.quantity(broken, point) < self.high


@dataclass(frozen=True)
class Case:
    """A symptom, with the faults that show it and what can be looked at.

    Attributes
    ----------
    symptom : Symptom
    problem : Problem
    faults : mapping
        By the id of their cause.
    observations : mapping
        By the id of their question.
    """

    symptom: Symptom
    problem: Problem
    faults: dict[str, Fault]
    observations: dict[str, Observation]


class Diagnosis:
    """All that can go wrong in one van.

    Parameters
    ----------
    system : System
    network : Network
    sizing : Sizing
    """

    def __init__(self, system: System, network: Network, sizing: Sizing) -> None:
        self.system, self.network = system, network
        self.bench = Bench(system, network, Wiring(system, network, sizing.conductors, sizing.fuses))
        self.faults = faults(system, network)
        self.families = Families(self.bench)
        self.questions = Questions(self.bench, self.faults)
        self.conditions = self.questions.conditions
        self._batteries = [
            ident
            for ident, piece in system.equipment.items()
            if isinstance(piece, eq.Battery) and piece.role == "leisure"
        ]
        self._ways: dict[str, frozenset[str]] = {}

    def cases(self) -> Iterator[Case]:
        """Yield each symptom that some fault shows."""
        for symptom in self.symptoms():
            case = self._case(symptom)
            if case is not None:
                yield case

    def symptoms(self) -> Iterator[Symptom]:
        """Yield what may be seen: of the whole van, of each load, of what charges and of the inverter."""
        loads = [ident for ident in self.system.loads if self._runs(ident, Trial.USE)]
        if len(loads) > 1:
            yield Symptom("all-dead", "all-dead", "", Trial.USE, self._best(loads), 0.0, 1.0)
        for ident in loads:
            yield self._stopped(ident, Trial.USE)
        for ident in loads:
            if self.system.loads[ident].importance == "lighting":
                yield self._weak(ident)
        for ident, piece in self.system.equipment.items():
            if isinstance(piece, eq.Inverter) and self._runs(ident, Trial.INVERTER):
                yield self._stopped(ident, Trial.INVERTER)
            elif isinstance(piece, eq.Monitor) and self._runs(ident, Trial.USE):
                yield self._stopped(ident, Trial.USE)
        for trial in self.bench.trials():
            usual = self._taken(trial)
            if trial in CHARGING and usual > 0:
                limit = constant("charging well").value * usual
                name = f"not-charging {trial.value}"
                yield Symptom(name, "not-charging", trial.value, trial, self._taking, -limit, limit)

    def _runs(self, thing: str, trial: Trial) -> bool:
        """Whether a device works in the sound van."""
        ends = self.conditions.ends(thing)
        return self.bench.healthy(trial).across_v(*ends) >= self.conditions.lowest_v(thing)

    def _volts(self, thing: str) -> Quantity:
        ends = self.conditions.ends(thing)

        def volts(broken: Faults, point: Point) -> float:
            return 0.0 if self.conditions.is_dead(thing, broken) else point.across_v(*ends)

        return volts

    def _best(self, loads: list[str]) -> Quantity:
        """The voltage of that load which has most, as a part of the lowest at which it works."""
        each = [(self._volts(load), self.conditions.lowest_v(load)) for load in loads]

        def best(broken: Faults, point: Point) -> float:
            return max(volts(broken, point) / lowest for volts, lowest in each)

        return best

    def _stopped(self, thing: str, trial: Trial) -> Symptom:
        lowest = self.conditions.lowest_v(thing)
        below = -2 * self.system.van.nominal_v
        return Symptom(f"stopped {thing}", "stopped", thing, trial, self._volts(thing), below, lowest)

    def _weak(self, thing: str) -> Symptom:
        usual = self.bench.healthy(Trial.USE).across_v(*self.conditions.ends(thing))
        limits = self.conditions.lowest_v(thing), constant("worth noticing").value * usual
        return Symptom(f"weak {thing}", "weak", thing, Trial.USE, self._volts(thing), *limits)

    def _taking(self, _broken: Faults, point: Point) -> float:
        """What the leisure batteries are charged with. [A]"""
        return -sum(point.amps_of(battery) for battery in self._batteries)

    def _taken(self, trial: Trial) -> float:
        return self._taking((), self.bench.healthy(trial))

    def _case(self, symptom: Symptom) -> Case | None:
        found: dict[str, Fault] = {}
        points: dict[str, tuple[Point, ...]] = {}
        for fault in self.faults:
            family = self.families.of(fault, symptom.trial)

            def quantity(point: Point, fault: Fault = fault) -> float:
                return symptom.quantity((fault,), point)

            shown = showing(family, quantity, symptom.low, symptom.high)
            if shown:
                found[fault.cause.id], points[fault.cause.id] = fault, shown
        if not found:
            return None
        chosen = self._choose(self._askable(symptom, found), found, points)
        causes = tuple(fault.cause for fault in found.values())
        possible = {
            (observation.question.id, cause.id): answers
            for observation, column in chosen
            for cause, answers in zip(causes, column, strict=True)
        }
        questions = tuple(observation.question for observation, _ in chosen)
        problem = Problem(symptom.id, causes, questions, possible)
        return Case(symptom, problem, found, {o.question.id: o for o, _ in chosen})

    def _choose(
        self,
        askable: Iterable[Observation],
        found: dict[str, Fault],
        points: dict[str, tuple[Point, ...]],
    ) -> list[tuple[Observation, tuple[frozenset[str], ...]]]:
        """The questions whose answer says something; of those that say the same, the one of least effort."""
        best: dict[object, tuple[Observation, tuple[frozenset[str], ...]]] = {}
        rows = [((fault,), points[ident]) for ident, fault in found.items()]
        for observation in askable:
            column = tuple(observation.possible(*row) for row in rows)
            first = column[0]
            if all(answers == first for answers in column):
                continue
            key = column, observation.question.reader, observation.question.cures.intersection(found)
            held = best.get(key)
            if held is None or observation.question.effort < held[0].question.effort:
                best[key] = observation, column
        return list(best.values())

    def _askable(self, symptom: Symptom, found: dict[str, Fault]) -> Iterator[Observation]:
        """The questions about the parts that may be broken, and about what else hangs on them."""
        trial, ask = symptom.trial, self.questions
        parts = {fault.edge for fault in found.values() if fault.edge is not None}
        edges: list[Edge] = [self.network.edge(ident) for ident in sorted(parts)]
        if trial is Trial.USE:
            yield from self._others(symptom, parts)
        yield from ask.lights(trial)
        yield from ask.still(edges)
        if any(fault.kind in ("flat", "cell-gone") for fault in found.values()):
            yield from ask.charges()
        if symptom.kind in ("stopped", "weak"):
            observation = ask.volts_at(symptom.subject, trial)
            if observation is not None:
                yield observation
        terminals = dict.fromkeys(end for edge in edges for end in (edge.start, edge.end))
        for terminal in terminals:
            if terminal in self.network.places:
                observation = ask.volts(terminal, trial)
                if observation is not None:
                    yield observation
        for edge in edges:
            yield ask.drop(edge, trial)
        for fault in found.values():
            if fault.spot is not None and fault.edge is not None:
                yield ask.joint_drop(self.network.edge(fault.edge), fault.spot, trial)

    def _others(self, symptom: Symptom, parts: set[str]) -> Iterator[Observation]:
        """Whether other things work: one for each different share of the parts that may be broken."""
        seen = set()
        loads = sorted(self.system.loads, key=lambda load: self.system.loads[load].importance != "lighting")
        for other in loads:
            if other == symptom.subject or not self._runs(other, Trial.USE):
                continue
            shared = frozenset(self._way(other) & parts)
            if shared not in seen:
                seen.add(shared)
                yield self.questions.works(other)

    def _way(self, thing: str) -> frozenset[str]:
        """The edges that carry the current of a load."""
        if thing not in self._ways:
            plus, minus = self.conditions.ends(thing)
            sources = [s for s in self.network.sources if s.kind in ("battery", "converter")]
            there = self.network.path([s.plus for s in sources], plus) or []
            back = self.network.path([s.minus for s in sources], minus) or []
            self._ways[thing] = frozenset(edge.id for edge in (*there, *back))
        return self._ways[thing]


def problems(system: System, network: Network, sizing: Sizing) -> tuple[Problem, ...]:
    """Return for each symptom of a van what may cause it and what may be asked.

    Parameters
    ----------
    system : System
    network : Network
    sizing : Sizing
    """
    return tuple(case.problem for case in Diagnosis(system, network, sizing).cases())
