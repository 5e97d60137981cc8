"""The problem behind each symptom of a van: its possible causes and the questions to ask."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.by_age import oldest_first
from vandoc.analysis.diagnosis.families import Families, showing
from vandoc.analysis.diagnosis.faults import Fault, faults
from vandoc.analysis.diagnosis.gates import OTHERS, gates
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.observations import Observation
from vandoc.analysis.diagnosis.problem import Problem
from vandoc.analysis.diagnosis.questions import Questions
from vandoc.analysis.diagnosis.readings import Readings
from vandoc.analysis.diagnosis.trial import Activity, IntermediateFault, Point, SolvedTrial, Trial
from vandoc.analysis.diagnosis.undecided import joined
from vandoc.analysis.diagnosis.visible_symptoms import Symptom, Symptoms, SymptomView
from vandoc.analysis.unknown import invented
from vandoc.physics.network.graph import Edge

Points = tuple[Point, ...]
Column = tuple[frozenset[str], ...]
OF_DEVICE = ("stopped", "weak", "slow", "cuts-out")
"""Kinds of symptom of one device in use."""
SHARED = ("all-dead", "half-dead")
"""Kinds of symptom of several loads together."""
MARGIN = 0.8  # the size of a fault between two solved sizes is known only approximately


@dataclass(frozen=True)
class SymptomCase:
    """A symptom with the faults that show it and the observations that tell them apart.

    Attributes
    ----------
    symptom : Symptom
    problem : Problem
    faults : mapping
        By id of their cause.
    observations : mapping
        By id of their question.
    """

    symptom: Symptom
    problem: Problem
    faults: dict[str, Fault]
    observations: dict[str, Observation]


class Diagnosis:
    """Everything that can go wrong in one van: its faults, symptoms and questions."""

    def __init__(self, van: Van) -> None:
        van = van.once(oldest_first)
        self.van, self.system, self.network = van, van.system, van.network
        self.bench = FaultBench(van.system, van.network, van.wiring)
        self.faults = faults(van.system, van.network)
        self.families = Families(self.bench)
        self.questions = Questions(self.families, self.faults)
        self.readings = Readings(self.families, self.questions.conditions)
        self.symptoms = Symptoms(self.bench, self.questions.conditions, self.questions.named)
        self._known: dict[str, dict[int, frozenset[str]]] = {}
        self._all: dict[Trial, list[tuple[Fault, tuple[SolvedTrial, ...]]]] = {}
        self._sizes: dict[object, Points] = {}
        self._shared: dict[str, frozenset[str]] = {}  # the causes of what several loads show together

    def cases(self) -> Iterator[SymptomCase]:
        """Yield each symptom that some fault shows."""
        for symptom in self.symptoms.all():
            shown = self._shown(symptom)
            if shown:
                yield self._case(symptom, shown)

    def _shown(self, symptom: Symptom) -> dict[str, dict[Trial, Points]]:
        """The faults that show a symptom, with the sizes that do in each trial; by id of their cause."""
        found: dict[str, dict[Trial, Points]] = {}
        for view in symptom.views:
            for fault, family in self._suspects(view):

                def quantity(point: Point, fault: Fault = fault) -> float:
                    return view.quantity((fault,), point)  # noqa: B023 (used before the view changes)

                points = showing(family, quantity, view.low, view.high)
                if points:
                    found.setdefault(fault.cause.id, {})[view.trial] = points
        return found

    def _suspects(self, view: SymptomView) -> Iterator[tuple[Fault, tuple[SolvedTrial, ...]]]:
        """The faults that may show a view; those that do not affect the voltage of its device are skipped."""
        if view.trial not in self._all:
            # if a contact is off, only a fault that closes one can supply anything beyond it
            able = [fault for fault in self.faults if fault.change.closed or not view.trial.off]
            self._all[view.trial] = [(fault, self.families.of(fault, view.trial)) for fault in able]
        if view.thing is None:
            yield from self._all[view.trial]
            return
        ends = self.questions.conditions.ends(view.thing)
        for fault, family in self._all[view.trial]:
            linear = len(family) <= 2
            if not linear or fault.cause.part == view.thing or family[-1].across_v(*ends) < view.high:
                yield fault, family

    def _same(self, fault: Fault, trial: Trial | None, points: Points) -> Points:
        """One object for equal sizes of a fault, so that each is read once."""
        parts = tuple((id(p.large), p.part) if isinstance(p, IntermediateFault) else id(p) for p in points)
        return self._sizes.setdefault((fault.cause.id, trial, parts), points)

    def _case(self, symptom: Symptom, shown: dict[str, dict[Trial, Points]]) -> SymptomCase:
        suspects = [fault for fault in self.faults if fault.cause.id in shown]
        askable = self._askable(symptom, suspects, shown)
        chosen = self._choose(askable, suspects, shown, len(symptom.views) == 1)
        causes = tuple(fault.cause for fault in suspects)
        possible = {
            (observation.question.id, cause.id): answers
            for observation, column in chosen
            for cause, answers in zip(causes, column, strict=True)
        }
        questions = tuple(observation.question for observation, _ in chosen)
        discharged = tuple(
            f.cause for f in self.faults if f.kind == "flat" and f.cause.part in self.system.leisure
        )
        off = [q.subjects[0] for q in questions if q.kind == "position" and q.reader == "owner"]
        first = gates(self.system, self.network, symptom.kind, symptom.subject, discharged, off)
        elsewhere: frozenset[str] = frozenset()
        if symptom.kind in SHARED:
            self._shared[symptom.id] = frozenset(shown)
        if first is not None and OTHERS in first.answers:
            wider = (ids for other, ids in self._shared.items() if other != symptom.id)
            elsewhere = frozenset().union(*wider).intersection(shown)
        return SymptomCase(
            symptom,
            Problem(symptom.id, causes, questions, possible, first, discharged, elsewhere),
            {fault.cause.id: fault for fault in suspects},
            {observation.question.id: observation for observation, _ in chosen},
        )

    def _choose(
        self,
        askable: Iterable[Observation],
        suspects: list[Fault],
        shown: dict[str, dict[Trial, Points]],
        alone: bool,
    ) -> list[tuple[Observation, Column]]:
        """The questions with information; of those with the same information, the one of least effort."""
        best: dict[object, tuple[Observation, Column]] = {}
        rows: dict[Trial | None, list[Points]] = {}
        for observation in askable:
            trial = observation.trial
            if trial not in rows:
                each = ((f, self._points(f, shown[f.cause.id], trial, alone)) for f in suspects)
                rows[trial] = [self._same(fault, trial, points) for fault, points in each]
            column = self._column(observation, suspects, rows[trial])
            if column.count(column[0]) == len(column):
                continue
            question = observation.question
            key = column, question.reader, question.cures.intersection(shown)
            held = best.get(key)
            if held is None or question.effort < held[0].question.effort:
                best[key] = observation, column
        return list(best.values())

    def _column(self, observation: Observation, suspects: list[Fault], rows: list[Points]) -> Column:
        """The possible answers with each fault; kept, since the same sizes recur in other cases."""
        known = self._known.setdefault(observation.question.id, {})
        edge, column = observation.edge, []
        for fault, points in zip(suspects, rows, strict=True):
            key = id(points) if edge is None or fault.edge == edge else 0
            answers = known.get(key)
            if answers is None:
                known[key] = answers = observation.possible((fault,), points)
            column.append(answers)
        return tuple(column)

    def _points(self, fault: Fault, shown: dict[Trial, Points], trial: Trial | None, alone: bool) -> Points:
        """The sizes of a fault to consider in a trial.

        A size that shows the symptom in one trial need not show it in another. If there are several trials,
        all sizes from the smallest that shows it in any of them are considered.
        """
        everywhere = tuple(point for points in shown.values() for point in points)
        if trial is None:
            return everywhere
        if not fault.sized or fault.edge is None:
            return shown[trial] if trial in shown else self.families.of(fault, trial)
        if alone and trial in shown:
            return shown[trial]
        sizes = {self.families.size_ohm(fault.edge, point): point for point in reversed(everywhere)}
        least = min(sizes)
        solved = isinstance(sizes[least], SolvedTrial)
        return self.families.beyond(fault, trial, least if solved else MARGIN * least)

    def _askable(
        self, symptom: Symptom, suspects: list[Fault], shown: dict[str, dict[Trial, Points]]
    ) -> Iterator[Observation]:
        """The questions about suspect parts, from supply to load, and about loads that depend on them."""
        ask = self.questions
        trials = [view.trial for view in symptom.views]
        edges = self._in_order(symptom, {fault.edge for fault in suspects if fault.edge is not None})
        if symptom.kind not in ("never-full", "not-charging"):
            for trial in trials:
                if trial.doing is Activity.USE:
                    yield from self._others(symptom.subject, {edge.id for edge in edges}, trial.off)
        for trial in trials:
            yield from ask.lights(trial)
        if any(trial.off for trial in trials):
            yield from ask.off(edges)
            return
        yield from ask.still(edges)
        if any(fault.kind in ("flat", "cell-gone") for fault in suspects):
            yield from ask.charges()
        for trial in dict.fromkeys(trials):
            faulty = {f.edge for f in suspects if f.edge is not None and trial in shown[f.cause.id]}
            # a slow pump runs, and draws what makes it slow
            measured = trial if symptom.kind == "slow" else ask.named.measured(trial)
            yield from self._measured(symptom, measured, [edge for edge in edges if edge.id in faulty])
            for fault in suspects:
                if fault.edge in faulty and fault.spot is not None:
                    yield self.readings.joint_drop(self.network.edge(fault.edge), fault.spot, measured)

    def _measured(self, symptom: Symptom, trial: Trial, edges: list[Edge]) -> Iterator[Observation]:
        ask = self.readings
        terminals = [end for edge in edges for end in (edge.start, edge.end)]
        if trial.charging:
            for charger in self.bench.chargers(trial):
                terminals += [f"{charger}.out", f"{charger}.ignition"]
        if symptom.kind in OF_DEVICE:
            yield from ask.volts_at(symptom.subject, trial)
        for terminal in dict.fromkeys(terminals):
            if terminal in self.network.places:
                yield from ask.volts(terminal, trial)
        for edge in edges:
            yield ask.drop(edge, trial)

    def _in_order(self, symptom: Symptom, parts: set[str]) -> list[Edge]:
        """The edges from the supply to the load and back, then the others in the order of the file."""
        path = self.questions.current_path(symptom.subject) if symptom.kind in OF_DEVICE else ()
        ordered = [ident for ident in path if ident in parts]
        ordered += [edge.id for edge in self.network.edges() if edge.id in parts and edge.id not in path]
        return [self.network.edge(ident) for ident in ordered]

    @cached_property
    def _running(self) -> list[str]:
        """The loads that run without a fault; lights first, since they are seen at once."""
        loads = sorted(self.system.loads, key=lambda load: self.system.loads[load].importance != "lighting")
        return [load for load in loads if self.symptoms.runs(load, self.questions.named.alone(load))]

    def _others(self, subject: str, parts: set[str], off: tuple[str, ...]) -> Iterator[Observation]:
        """Whether other loads work: one load for each different set of suspect parts that it uses."""
        seen = set()
        for other in self._running:
            if other == subject:
                continue
            shared = frozenset(parts.intersection(self.questions.current_path(other)))
            if shared not in seen:
                seen.add(shared)
                yield self.questions.works(other, off)


def problems(van: Van) -> tuple[Problem, ...]:
    """Return the problem behind each symptom of a van."""
    if van.supposed:
        unreal = invented(van.stated, (one.stated for one in van.supposed))
        return joined([problems(one) for one in van.supposed], unreal)
    return tuple(case.problem for case in Diagnosis(van).cases())
