"""What is asked before anything is measured: whether there is a fault of the wiring at all.

The order is that of a good electrician (common practice, no source): does it still do it; is it this alone;
its own switch, setting or trip; what it needs besides current; how full the battery is; whether anything else
on the mains works; sun; cold. What a reader cannot tell counts as in order, so that no answer hides a fault.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from vandoc.analysis.diagnosis.observations import efforts
from vandoc.analysis.diagnosis.permitted import Kind, reader_of
from vandoc.analysis.diagnosis.problem import (
    Cause,
    EndNode,
    Problem,
    Question,
    QuestionNode,
    Reader,
    TreeNode,
)
from vandoc.analysis.diagnosis.repairs import NO_CHANGE, REPAIR, REPAIRED
from vandoc.analysis.diagnosis.trees import Tree
from vandoc.analysis.diagnosis.trial import Activity
from vandoc.ground.calc.battery import rest_voltage_at
from vandoc.ground.data import constant
from vandoc.model import equipment as eq
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.graph import Network

GATES: Kind = "gates"
LOW, IN_ORDER, OFF, OTHERS = "low", "in-order", "off ", "others"
IN_USE = ("all-dead", "half-dead", "stopped", "weak", "slow", "cuts-out")
RETURNS = (*IN_USE, "not-charging", "still-on", "still-charging", "light")
CHARGED_BY = {
    Activity.DRIVING.value: "alternator",
    Activity.HOOK_UP.value: "mains",
    Activity.SUN.value: "solar",
}


def gates(
    system: CompletedSystem,
    network: Network,
    kind: str,
    subject: str,
    discharged: Iterable[Cause],
    off: Iterable[str] = (),
) -> Question | None:
    """Return the question asked first about a symptom; None if nothing applies to it.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    kind, subject : str
        Of the symptom.
    discharged : iterable of Cause
        The causes that a low battery stands for; without any, nobody is asked how full it is.
    off : iterable of str
        The hand-operated switches that give the symptom when off and that an owner may look at.
    """
    of_kind = _Gates(system, network, kind, subject)
    answers = tuple(of_kind.answers(any(True for _ in discharged), tuple(off)))
    if not answers:
        return None
    symptom = f"{kind} {subject}".strip()
    reader = reader_of(GATES, None)
    return Question(
        f"{GATES} {symptom}", GATES, (kind, subject), efforts()[GATES], reader, (*answers, IN_ORDER)
    )


def low_v(system: CompletedSystem) -> float:
    """Return the voltage below which a leisure battery with a lamp on is low; of several, the lowest. [V]"""
    percent, nominal = constant("low charge").value, system.van.nominal_v
    return min(
        rest_voltage_at(battery.chemistry, percent, battery.nominal_v or nominal, battery.cells)
        for battery in system.leisure.values()
    )


def with_gates(problem: Problem, reader: Reader, tree: Tree) -> Tree:
    """Return a tree that asks the gates of its problem first.

    A low battery is charged first, and a switch that is off is switched on; if the symptom persists, the tree
    goes on.

    Parameters
    ----------
    problem : Problem
    reader : Reader
    tree : Tree
        With its last steps.
    """
    if problem.gates is None:
        return tree
    ends: dict[str, TreeNode] = {IN_ORDER: tree.start}
    for answer, causes in settled(problem).items():
        ids = tuple(cause.id for cause in causes)
        question = Question(
            f"{REPAIR} {problem.gates.id} {answer}",
            REPAIR,
            ids,
            0.0,
            reader,
            (REPAIRED, NO_CHANGE),
            frozenset(ids),
        )
        ends[answer] = QuestionNode(question, ((REPAIRED, EndNode(causes)), (NO_CHANGE, tree.start)))
    answers = problem.gates.answers
    branches = tuple((answer, ends.get(answer, EndNode((), answer))) for answer in answers)
    return replace(tree, start=QuestionNode(problem.gates, branches))


def settled(problem: Problem) -> dict[str, tuple[Cause, ...]]:
    """Return the causes that answers to the gates of a problem find, by answer."""
    if problem.gates is None:
        return {}
    off = {f"left-off {answer.removeprefix(OFF)}": answer for answer in problem.gates.answers}
    found: dict[str, tuple[Cause, ...]] = {
        off[cause.id]: (cause,) for cause in problem.causes if cause.id in off
    }
    if LOW in problem.gates.answers:
        found[LOW] = problem.discharged
    return found


@dataclass(frozen=True)
class _Gates:
    """The gates of one symptom of a van."""

    system: CompletedSystem
    network: Network
    kind: str
    subject: str

    def answers(self, may_be_low: bool, off: tuple[str, ...]) -> Iterator[str]:
        """Yield the answers that end the search, in the order in which they are asked."""
        if self.kind in RETURNS:
            yield "still-so"
        if self.kind in ("stopped", "half-dead") and len(self.system.loads) > 1:
            yield OTHERS
        if self.kind == "stopped":
            yield "own-switch"
            yield from self._needs()
        elif self.kind == "weak":
            yield "dimmed"
        elif self.kind == "slow":
            yield "own-setting"
            yield from self._needs()
        elif self.kind == "starter-flat":
            yield "vehicle"
        elif self.kind == "flat-fast":
            yield from ("left-running", "never-full")
        elif self.kind == "cuts-out":
            yield "overload"
        else:
            yield from (f"{OFF}{switch}" for switch in off)
        if self.kind in IN_USE and may_be_low and self._tells_charge():
            yield LOW
        if self.kind == "stopped" and self.subject in self.system.loads:
            yield "works-alone"
        if self.kind == "slow":
            yield "works-alone"
        if self.kind == "flat-fast" and self._has_monitor():
            yield "percentage"
        yield from self._charging()

    def _charging(self) -> Iterator[str]:
        source = self._source()
        if source == "mains":
            yield "outside"
        if source == "solar":
            yield "no-sun"
        if source == "alternator" and self._rests():
            yield "resting"
        if (source or self.kind == "never-full") and self._stops_in_the_cold():
            yield "cold"
        if self.kind == "not-charging" and self._has_monitor():
            yield "full"

    def _source(self) -> str | None:
        """The charging source that the symptom is about; None if it is about none."""
        if self.kind == "not-charging":
            return CHARGED_BY.get(self.subject)
        sources = {source.owner: source.charges_from for source in self.network.sources}
        return sources.get(self.subject.partition(" ")[0]) if self.kind == "light" else None

    def _needs(self) -> Iterator[str]:
        load = self.system.loads.get(self.subject)
        if load is None:
            return
        needed = load.needed()
        yield from ("needs-anything",) if needed is None else (f"needs-{need}" for need in needed)

    def _has_monitor(self) -> bool:
        return bool(self.system.of_kind(eq.Monitor))

    def _tells_charge(self) -> bool:
        """Whether an owner can see how full the battery is: on a monitor, or by a voltage that tells."""
        shown = any(load.shows_voltage for load in self.system.loads.values())
        told = all(battery.traits.flat_curve is False for battery in self.system.leisure.values())
        return self._has_monitor() or (shown and told)

    def _rests(self) -> bool:
        """Whether the engine's computer may let the alternator rest."""
        return any(piece.is_smart() for piece in self.system.of_kind(eq.VehicleSource).values())

    def _stops_in_the_cold(self) -> bool:
        """Whether a leisure battery is one that must not be charged in the cold; so if that is not known."""
        return any(battery.traits.plating is not False for battery in self.system.leisure.values())
