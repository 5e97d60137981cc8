"""Every voltage that can be measured in a van, with the value expected without a fault."""

from collections.abc import Iterator

from vandoc.analysis.diagnosis.conditions import Conditions
from vandoc.analysis.diagnosis.families import Families
from vandoc.analysis.diagnosis.observations import Faults, Observation
from vandoc.analysis.diagnosis.permitted import MAX_MEASURED_V
from vandoc.analysis.diagnosis.question_factory import QuestionFactory, Subject
from vandoc.analysis.diagnosis.trial import Activity, Point, Trial
from vandoc.ground.data import constant
from vandoc.physics.network.graph import Edge


class Readings(QuestionFactory):
    """The voltage readings of one van.

    Parameters
    ----------
    families : Families
        The faults of the van, solved.
    conditions : Conditions
        The conditions of its devices.
    """

    def __init__(self, families: Families, conditions: Conditions) -> None:
        super().__init__(families)
        self.conditions = conditions
        self._reference = next((f"{ident}.-" for ident in self.batteries()), None)
        self._battery_plus = next((f"{ident}.+" for ident in self.batteries()), "")
        self._panels = self._beside_panels()

    def volts(self, terminal: str, trial: Trial) -> Iterator[Observation]:
        """Yield the voltage of a terminal against the negative terminal of the leisure battery, if any.

        Terminals connected to solar panels only are measured against the negative terminal of the panels.
        """
        reference = self._panels.get(terminal, self._reference)
        if reference is None or terminal == reference:
            return
        own = (reference,) if terminal in self._panels else ()
        healthy = self.bench.healthy(trial).across_v(terminal, reference)
        signal = terminal.replace(".", " ")  # of a charger, if it is one

        def read(_faults: Faults, point: Point) -> float:
            return 0.0 if signal in point.stopped else point.across_v(terminal, reference)

        place = self._place(terminal)
        if not own and terminal not in self.network.negative and self._is_relative(healthy, terminal, trial):
            yield self._loss((terminal,), (terminal, reference), trial)
            return
        if terminal in self.network.negative:
            limit = 2 * abs(healthy) + constant("bad connection").value * self.system.van.nominal_v

            def read_back(_faults: Faults, point: Point) -> float:
                return abs(point.across_v(terminal, reference))

            about = Subject("back-volts", (terminal, *own), place)
            yield self._reading(about, trial, read_back, (limit,), ("near nothing", "too high"))
        elif 0 < healthy <= MAX_MEASURED_V:
            about = Subject("volts", (terminal, *own), place)
            yield self._reading(about, trial, read, *self._supply_bands(healthy, trial))

    def volts_at(self, thing: str, trial: Trial) -> Iterator[Observation]:
        """Yield the voltage between the two terminals of a load or item, if it has any."""
        plus, minus = self.conditions.ends(thing)
        healthy = self.bench.healthy(trial).across_v(plus, minus)
        if healthy <= 0:
            return

        if self._is_relative(healthy, plus, trial):
            yield self._loss((plus, minus), (plus, minus), trial)
            return

        def read(_faults: Faults, point: Point) -> float:
            return point.across_v(plus, minus)

        about = Subject("volts", (plus, minus), self._place(thing))
        yield self._reading(about, trial, read, *self._supply_bands(healthy, trial))

    def _is_relative(self, healthy: float, terminal: str, trial: Trial) -> bool:
        """Whether a reading is taken against that across the battery: in use, at its voltage."""
        if trial.doing is not Activity.USE or self._reference is None or terminal == self._battery_plus:
            return False
        usual = self.bench.healthy(trial).across_v(self._battery_plus, self._reference)
        return abs(healthy - usual) < constant("like the battery").value * usual

    def _loss(self, subjects: tuple[str, ...], ends: tuple[str, str], trial: Trial) -> Observation:
        """The voltage across the battery less that at a place, in the same state: charge and gain cancel."""
        plus, minus = self._battery_plus, str(self._reference)
        healthy = self.bench.healthy(trial)
        usual = healthy.across_v(plus, minus)
        small = healthy.across_v(plus, minus) - healthy.across_v(*ends)
        bad = 2 * abs(small) + constant("bad connection").value * self.system.van.nominal_v
        gone = (1 - constant("dead").value) * usual

        def read(_faults: Faults, point: Point) -> float:
            return point.across_v(plus, minus) - point.across_v(*ends)

        about = Subject("loss", subjects, self._place(ends[0]))
        words = ("near nothing", "too high", "nothing")
        return self._reading(about, trial, read, (bad, gone), words)

    def _beside_panels(self) -> dict[str, str]:
        """The terminals connected to solar panels only, each with the negative terminal of the panels."""
        found = {}
        batteries = {source.minus for source in self.network.sources if source.kind != "solar"}
        for source in self.network.sources:
            if source.kind == "solar":
                sides = self.network.flood([source.plus]), self.network.flood([source.minus])
                alone = [side for side in sides if side.isdisjoint(batteries)]
                found.update({terminal: source.minus for side in alone for terminal in side})
        return found

    def drop(self, edge: Edge, trial: Trial) -> Observation:
        """Return the voltage drop from one end of a cable or contact to the other, under load."""
        healthy = abs(self.bench.healthy(trial).across_v(edge.start, edge.end))
        limit = 2 * healthy + constant("bad connection").value * self.system.van.nominal_v

        def read(_faults: Faults, point: Point) -> float:
            return abs(point.across_v(edge.start, edge.end))

        about = Subject("drop", (edge.id,), self._place(edge.start) or self._place(edge.end))
        return self._reading(about, trial, read, (limit,), ("low", "high"))

    def joint_drop(self, edge: Edge, spot: str, trial: Trial) -> Observation:
        """Return the voltage drop of one connection of a cable, from the terminal to the bare conductor."""
        limit = constant("bad connection").value * self.system.van.nominal_v

        def read(faults: Faults, point: Point) -> float:
            if not any(fault.edge == edge.id and fault.spot == spot for fault in faults):
                return 0.0
            own = point.amps_in(edge.id) * self.bench.ohms[edge.id]
            return abs(point.across_v(edge.start, edge.end) - own)

        about = Subject("joint-drop", (edge.id, spot), self._place(spot))
        return self._reading(about, trial, read, (limit,), ("low", "high"), edge=edge.id)

    def _supply_bands(self, healthy: float, trial: Trial) -> tuple[tuple[float, ...], tuple[str, ...]]:
        """The limits and answers of a reading; a charger without a load shows a higher voltage."""
        limits = constant("dead").value * healthy, constant("as expected").value * healthy
        words = ("nothing", "too low", "as expected")
        if trial.charging is None:
            return limits, words
        return (*limits, constant("higher than expected").value * healthy), (*words, "higher")
