"""Every question that can be asked about a van, with its expected voltages from the solved sound network."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from vandoc.data import constant
from vandoc.diagnosis.alone import Alone
from vandoc.diagnosis.conditions import Conditions
from vandoc.diagnosis.families import Families
from vandoc.diagnosis.faults import Fault
from vandoc.diagnosis.observations import Faults, Observation, Read, efforts, meter_noise
from vandoc.diagnosis.permitted import MEASURED_MOST_V, Kind, reader_of
from vandoc.diagnosis.problem import Question
from vandoc.diagnosis.trial import CHARGING, OPEN_OHM, Point, Trial
from vandoc.model import equipment as eq
from vandoc.model.van import Place
from vandoc.network.graph import Conductor, Edge, FuseLink

YES_NO = ("no", "yes")


@dataclass(frozen=True)
class _Subject:
    """What a question is about."""

    kind: Kind
    subjects: tuple[str, ...]
    place: Place | None
    fuse: FuseLink | None = None


class Questions:
    """The questions of one van.

    Parameters
    ----------
    families : Families
    faults : iterable of Fault
        All that it may have; the questions are about their parts.
    """

    def __init__(self, families: Families, faults: Iterable[Fault]) -> None:
        self.families, self.bench = families, families.bench
        self.system, self.network = self.bench.system, self.bench.network
        self.conditions = Conditions(self.bench)
        self.faults = {fault.cause.id: fault for fault in faults}
        self._efforts = efforts()
        self._noise = meter_noise()
        leisure = [
            ident
            for ident, piece in self.system.equipment.items()
            if isinstance(piece, eq.Battery) and piece.role == "leisure"
        ]
        self._minus = {ident: f"{ident}.-" for ident in leisure}
        self._reference = next(iter(self._minus.values()), None)
        self.alone = Alone(families, self.conditions)
        self._ways: dict[str, tuple[str, ...]] = {}
        self._panels = self._beside_panels()
        self._made: dict[tuple[object, ...], Observation] = {}

    def still(self, edges: Iterable[Edge]) -> Iterator[Observation]:
        """Yield what can be seen or done at fuses, switches and contacts, whatever the van does.

        A cable is better judged by what falls across it under load; one for a signal carries too little.
        """
        for edge in edges:
            if isinstance(edge, FuseLink):
                yield self._look(edge)
                yield self._swap(edge)
            elif f"left-off {edge.id.partition(' ')[0]}" in self.faults:
                yield self._position(edge)
            if not isinstance(edge, Conductor) or edge.signal:
                yield self._continuity(edge)

    def charges(self) -> Iterator[Observation]:
        """Yield, for each battery, whether it holds its voltage once it was charged for a night."""
        for battery in self._minus:

            def read(faults: Faults, _point: Point, battery: str = battery) -> str:
                kinds = {fault.kind for fault in faults if fault.cause.part == battery}
                return "mended" if kinds == {"flat"} and len(faults) == 1 else "no change"

            about = _Subject("charge", (battery,), self._place(battery))
            cures = frozenset({f"flat {battery}"})
            yield self._fixed(about, read, ("no change", "mended"), cures)

    def _place(self, thing: str) -> Place | None:
        name = self.network.places.get(thing)
        if name is None:
            piece = self.system.equipment.get(thing) or self.system.loads.get(thing)
            name = piece.place if piece else None
        return self.system.places.get(name) if name else None

    def _effort(self, about: _Subject) -> float:
        covered = about.place is not None and about.place.access is not None
        by_hand = about.kind in ("works", "light", "charge")
        return self._efforts[about.kind] + (self._efforts["cover"] if covered and not by_hand else 0.0)

    def _fixed(
        self,
        about: _Subject,
        read: Read,
        answers: tuple[str, ...],
        cures: frozenset[str] = frozenset(),
        edge: str | None = None,
    ) -> Observation:
        """A question whose answer no solution is needed for."""
        key = about.kind, about.subjects
        if key not in self._made:
            question = Question(
                " ".join((about.kind, *about.subjects)),
                about.kind,
                about.subjects,
                self._effort(about),
                reader_of(about.kind, self.system, about.place, about.fuse),
                answers,
                cures,
            )
            self._made[key] = Observation(question, read, edge=edge)
        return self._made[key]

    def _look(self, fuse: FuseLink) -> Observation:
        def read(faults: Faults, _point: Point) -> str:
            blown = any(f.edge == fuse.id and f.kind in ("fuse-blown", "shorted") for f in faults)
            return "broken" if blown else "whole"

        about = _Subject("fuse-look", (fuse.id,), self._place(fuse.owner), fuse)
        return self._fixed(about, read, ("whole", "broken"), edge=fuse.id)

    def _swap(self, fuse: FuseLink) -> Observation:
        def read(faults: Faults, _point: Point) -> str:
            kinds = {f.kind for f in faults if f.edge == fuse.id}
            if "shorted" in kinds:
                return "blows again"
            return "mended" if kinds == {"fuse-blown"} and len(faults) == 1 else "no change"

        about = _Subject("fuse-swap", (fuse.id,), self._place(fuse.owner), fuse)
        cures = frozenset({f"fuse-blown {fuse.id}"})
        return self._fixed(about, read, ("no change", "blows again", "mended"), cures, fuse.id)

    def _position(self, edge: Edge) -> Observation:
        owner = edge.owner  # type: ignore[union-attr]

        def read(faults: Faults, _point: Point) -> str:
            return "off" if any(f.kind == "left-off" and f.edge == edge.id for f in faults) else "on"

        about = _Subject("position", (owner,), self._place(owner))
        return self._fixed(about, read, ("on", "off"), frozenset({f"left-off {owner}"}), edge.id)

    def _continuity(self, edge: Edge) -> Observation:
        """The resistance of one cable, fuse or contact, supply isolated, one end of it free."""
        limit = constant("continuity").value

        def read(faults: Faults, point: Point) -> float:
            here = [fault for fault in faults if fault.edge == edge.id and fault.change.ohms]
            if not here:
                return 0.0
            if not all(fault.sized for fault in here):
                return OPEN_OHM
            return self.families.size_ohm(edge.id, point)

        about = _Subject("continuity", (edge.id,), self._place(edge.start) or self._place(edge.end))
        key = about.kind, about.subjects
        if key not in self._made:
            plain = self._fixed(about, read, ("connected", "not connected"))
            self._made[key] = Observation(
                plain.question, read, None, (limit,), ("connected", "not connected"), self._noise, edge.id
            )
        return self._made[key]

    def works(self, thing: str) -> Observation:
        """Whether something runs, while all else is on or off."""
        lowest = self.conditions.lowest_v(thing)
        ends = self.conditions.ends(thing)

        def read(faults: Faults, point: Point) -> float:
            return 0.0 if self.conditions.is_dead(thing, faults) else point.across_v(*ends)

        about = _Subject("works", (thing,), self._place(thing))
        key = about.kind, about.subjects, Trial.USE
        if key not in self._made:
            question = self._question(about, Trial.USE, YES_NO)
            alone = self._alone_read(thing, read)
            self._made[key] = Observation(question, read, Trial.USE, (lowest,), YES_NO, alone=alone)
        return self._made[key]

    def _alone_read(self, thing: str, together: Read) -> Read:
        """What a device gets by itself; what is no voltage is the same in company."""
        way = frozenset(self.way(thing))

        def read(faults: Faults, point: Point) -> float | str:
            value = together(faults, point)
            if isinstance(value, str) or self.conditions.is_dead(thing, faults):
                return value
            return self.alone.most_v(thing, way, faults, point)

        return read

    def way(self, thing: str) -> tuple[str, ...]:
        """Return the edges that carry the current of a load, there and back."""
        if thing not in self._ways:
            plus, minus = self.conditions.ends(thing)
            sources = [s for s in self.network.sources if s.kind in ("battery", "converter")]
            there = self.network.path([s.plus for s in sources], plus) or []
            back = self.network.path([s.minus for s in sources], minus) or []
            self._ways[thing] = tuple(edge.id for edge in (*there, *reversed(back)))
        return self._ways[thing]

    def lights(self, trial: Trial) -> Iterator[Observation]:
        """Yield for each device with explained lights which of them is seen."""
        for thing in self.conditions.with_lights(trial):
            looks = self.conditions.looks(thing)
            read = self.conditions.reader(thing, trial)
            bands, shown = self.conditions.bands(thing)
            about = _Subject("light", (thing,), self._place(thing))
            key = about.kind, about.subjects, trial
            if key not in self._made:
                answers = tuple(dict.fromkeys((*looks.values(), "dark")))
                question = self._question(about, trial, answers)
                by_volts = trial is Trial.USE and thing in self.system.loads
                alone = self._alone_read(thing, read) if by_volts else None
                self._made[key] = Observation(question, read, trial, bands, shown, alone=alone)
            yield self._made[key]

    def volts(self, terminal: str, trial: Trial) -> Iterator[Observation]:
        """Yield the voltage of a terminal against the minus of the leisure battery, where there is one.

        What hangs on panels only is measured against theirs.
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
        if terminal in self.network.negative:
            limit = 2 * abs(healthy) + constant("bad connection").value * self.system.van.nominal_v

            def read_back(_faults: Faults, point: Point) -> float:
                return abs(point.across_v(terminal, reference))

            about = _Subject("back-volts", (terminal, *own), place)
            yield self._reading(about, trial, read_back, (limit,), ("near nothing", "too high"))
        elif 0 < healthy <= MEASURED_MOST_V:
            about = _Subject("volts", (terminal, *own), place)
            yield self._reading(about, trial, read, *self._supply_bands(healthy, trial))

    def volts_at(self, thing: str, trial: Trial) -> Iterator[Observation]:
        """Yield the voltage between the two terminals of a load or piece, where there is any."""
        plus, minus = self.conditions.ends(thing)
        healthy = self.bench.healthy(trial).across_v(plus, minus)
        if healthy <= 0:
            return

        def read(_faults: Faults, point: Point) -> float:
            return point.across_v(plus, minus)

        about = _Subject("volts", (plus, minus), self._place(thing))
        yield self._reading(about, trial, read, *self._supply_bands(healthy, trial))

    def _beside_panels(self) -> dict[str, str]:
        """The terminals that hang on panels and on nothing else, each with the minus of the panels."""
        found = {}
        batteries = {source.minus for source in self.network.sources if source.kind != "solar"}
        for source in self.network.sources:
            if source.kind == "solar":
                sides = self.network.flood([source.plus]), self.network.flood([source.minus])
                alone = [side for side in sides if side.isdisjoint(batteries)]
                found.update({terminal: source.minus for side in alone for terminal in side})
        return found

    def drop(self, edge: Edge, trial: Trial) -> Observation:
        """Return the voltage from one terminal of a cable or contact to the other, under load."""
        healthy = abs(self.bench.healthy(trial).across_v(edge.start, edge.end))
        limit = 2 * healthy + constant("bad connection").value * self.system.van.nominal_v

        def read(_faults: Faults, point: Point) -> float:
            return abs(point.across_v(edge.start, edge.end))

        about = _Subject("drop", (edge.id,), self._place(edge.start) or self._place(edge.end))
        return self._reading(about, trial, read, (limit,), ("low", "high"))

    def joint_drop(self, edge: Edge, spot: str, trial: Trial) -> Observation:
        """Return the voltage across one connection of a cable, from the terminal to the bare copper."""
        limit = constant("bad connection").value * self.system.van.nominal_v

        def read(faults: Faults, point: Point) -> float:
            if not any(fault.edge == edge.id and fault.spot == spot for fault in faults):
                return 0.0
            own = point.amps_in(edge.id) * self.bench.ohms[edge.id]
            return abs(point.across_v(edge.start, edge.end) - own)

        about = _Subject("joint-drop", (edge.id, spot), self._place(spot))
        return self._reading(about, trial, read, (limit,), ("low", "high"), edge=edge.id)

    def _supply_bands(self, healthy: float, trial: Trial) -> tuple[tuple[float, ...], tuple[str, ...]]:
        """A charger whose current goes nowhere shows a higher voltage than one at work."""
        limits = constant("dead").value * healthy, constant("as expected").value * healthy
        words = ("nothing", "too low", "as expected")
        if trial not in CHARGING:
            return limits, words
        return (*limits, constant("higher than expected").value * healthy), (*words, "higher")

    def _question(
        self,
        about: _Subject,
        trial: Trial,
        answers: tuple[str, ...],
        expected: float | None = None,
        limits: tuple[float, ...] = (),
    ) -> Question:
        words = (about.kind, *about.subjects)
        ident = " ".join(words) if trial is Trial.USE else f"{' '.join(words)} ({trial.value})"
        reader = reader_of(about.kind, self.system, about.place, about.fuse)
        effort = self._effort(about)
        return Question(
            ident,
            about.kind,
            about.subjects,
            effort,
            reader,
            answers,
            frozenset(),
            trial.value,
            expected,
            limits,
        )

    def _reading(
        self,
        about: _Subject,
        trial: Trial,
        read: Read,
        bands: tuple[float, ...],
        answers: tuple[str, ...],
        noise: float | None = None,
        shown: bool = True,
        edge: str | None = None,
    ) -> Observation:
        key = about.kind, about.subjects, trial
        if key not in self._made:
            expected = float(read((), self.bench.healthy(trial))) if shown else None
            question = self._question(about, trial, answers, expected, bands if shown else ())
            self._made[key] = Observation(
                question, read, trial, bands, answers, self._noise if noise is None else noise, edge
            )
        return self._made[key]
