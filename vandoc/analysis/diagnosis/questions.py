"""Questions answered by looking or trying, without a meter, and tests of fuses and contacts."""

from collections.abc import Iterable, Iterator

from vandoc.analysis.diagnosis.conditions import Conditions
from vandoc.analysis.diagnosis.families import Families
from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.named_loads import NamedLoads
from vandoc.analysis.diagnosis.observations import Faults, Observation
from vandoc.analysis.diagnosis.question_factory import QuestionFactory, Subject
from vandoc.analysis.diagnosis.trial import OPEN_OHM, Activity, Point, Trial
from vandoc.ground.data import constant
from vandoc.physics.network.graph import Conductor, Edge, FuseLink, Joint

YES_NO = ("no", "yes")


class Questions(QuestionFactory):
    """The questions of one van.

    Parameters
    ----------
    families : Families
        The faults of the van, solved.
    faults : iterable of Fault
        All possible faults; the questions are about their parts.
    """

    def __init__(self, families: Families, faults: Iterable[Fault]) -> None:
        super().__init__(families)
        self.conditions = Conditions(self.bench)
        self.named = NamedLoads(self.system, self.network, self.bench.ratings_a)
        self.faults = {fault.cause.id: fault for fault in faults}
        self._paths: dict[str, tuple[str, ...]] = {}

    def still(self, edges: Iterable[Edge]) -> Iterator[Observation]:
        """Yield the questions about fuses, switches and contacts that do not depend on the trial.

        Cables are left to the voltage drop under load, except signal wires, which carry too little current.
        """
        for edge in edges:
            if isinstance(edge, FuseLink):
                if edge.family != "breaker":
                    yield self._look(edge)
                    yield self._swap(edge)
            elif isinstance(edge, Joint) and f"left-off {edge.owner}" in self.faults:
                yield self._position(edge)
            if not isinstance(edge, Conductor) or edge.signal:
                yield self._continuity(edge)

    def off(self, edges: Iterable[Edge]) -> Iterator[Observation]:
        """Yield the questions about contacts that may supply a device although they should be off."""
        for edge in edges:
            if isinstance(edge, Joint):
                if f"left-on {edge.owner}" in self.faults:
                    yield self._position_off(edge)
                yield self._open_contact(edge)

    def charges(self) -> Iterator[Observation]:
        """Yield for each battery whether it holds its voltage after charging overnight."""
        for battery in self.batteries():

            def read(faults: Faults, _point: Point, battery: str = battery) -> str:
                kinds = {fault.kind for fault in faults if fault.cause.part == battery}
                return "repaired" if kinds == {"flat"} and len(faults) == 1 else "no change"

            about = Subject("charge", (battery,), self._place(battery))
            cures = frozenset({f"flat {battery}"})
            yield self._fixed(about, read, ("no change", "repaired"), cures)

    def _look(self, fuse: FuseLink) -> Observation:
        def read(faults: Faults, _point: Point) -> str:
            blown = any(f.edge == fuse.id and f.kind in ("fuse-blown", "shorted") for f in faults)
            return "blown" if blown else "intact"

        about = Subject("fuse-look", (fuse.id,), self._place(fuse.owner), fuse)
        return self._fixed(about, read, ("intact", "blown"), edge=fuse.id)

    def _swap(self, fuse: FuseLink) -> Observation:
        def read(faults: Faults, _point: Point) -> str:
            kinds = {f.kind for f in faults if f.edge == fuse.id}
            if "shorted" in kinds:
                return "blows again"
            return "repaired" if kinds == {"fuse-blown"} and len(faults) == 1 else "no change"

        about = Subject("fuse-swap", (fuse.id,), self._place(fuse.owner), fuse)
        cures = frozenset({f"fuse-blown {fuse.id}"})
        return self._fixed(about, read, ("no change", "blows again", "repaired"), cures, fuse.id)

    def _position(self, contact: Joint) -> Observation:
        def read(faults: Faults, _point: Point) -> str:
            off = any(f.kind == "left-off" and f.edge == contact.id for f in faults)
            tripped = any(f.kind == "shorted" and f.edge == contact.owner for f in faults)
            return "off" if off or tripped else "on"

        about = Subject("position", (contact.owner,), self._place(contact.owner))
        return self._fixed(about, read, ("on", "off"), frozenset({f"left-off {contact.owner}"}), contact.id)

    def _position_off(self, contact: Joint) -> Observation:
        """Whether a switch that should be off is off."""

        def read(faults: Faults, _point: Point) -> str:
            return "on" if any(f.kind == "left-on" and f.edge == contact.id for f in faults) else "off"

        about = Subject("position-off", (contact.owner,), self._place(contact.owner))
        return self._fixed(about, read, ("off", "on"), frozenset({f"left-on {contact.owner}"}), contact.id)

    def _open_contact(self, contact: Joint) -> Observation:
        """Continuity of a contact in its present position; batteries disconnected, one end free."""

        def read(faults: Faults, _point: Point) -> str:
            closed = any(contact.id in fault.change.closed for fault in faults)
            return "connected" if closed else "not connected"

        about = Subject("open-contact", (contact.id,), self._place(contact.start))
        return self._fixed(about, read, ("not connected", "connected"), edge=contact.id)

    def _continuity(self, edge: Edge) -> Observation:
        """Continuity of one cable, fuse or contact; supply isolated, one end free."""
        limit = constant("continuity").value

        def read(faults: Faults, point: Point) -> float:
            here = [fault for fault in faults if fault.edge == edge.id and fault.change.ohms]
            if not here:
                return 0.0
            if not all(fault.sized for fault in here):
                return OPEN_OHM
            return self.families.size_ohm(edge.id, point)

        about = Subject("continuity", (edge.id,), self._place(edge.start) or self._place(edge.end))
        key = about.kind, about.subjects
        if key not in self._made:
            plain = self._fixed(about, read, ("connected", "not connected"))
            self._made[key] = Observation(
                plain.question, read, None, (limit,), ("connected", "not connected"), self._noise, edge.id
            )
        return self._made[key]

    def works(self, thing: str, off: tuple[str, ...] = ()) -> Observation:
        """Return whether a load works when it alone is switched on, with some contacts off."""
        trial = self.named.alone(thing, off)
        lowest = self.conditions.lowest_v(thing)
        ends = self.conditions.ends(thing)

        def read(faults: Faults, point: Point) -> float:
            return 0.0 if self.conditions.is_dead(thing, faults) else point.across_v(*ends)

        about = Subject("works", (thing,), self._place(thing))
        key = about.kind, about.subjects, trial
        if key not in self._made:
            question = self._question(about, trial, YES_NO)
            self._made[key] = Observation(question, read, trial, (lowest,), YES_NO)
        return self._made[key]

    def current_path(self, thing: str) -> tuple[str, ...]:
        """Return the edges of the supply and the return of a load, from the source and back to it."""
        if thing not in self._paths:
            plus, minus = self.conditions.ends(thing)
            sources = [s for s in self.network.sources if s.kind in ("battery", "converter")]
            supply = self.network.path([s.plus for s in sources], plus) or []
            back = self.network.path([s.minus for s in sources], minus) or []
            self._paths[thing] = tuple(edge.id for edge in (*supply, *reversed(back)))
        return self._paths[thing]

    def lights(self, trial: Trial) -> Iterator[Observation]:
        """Yield for each device with lights of known meaning which of them is seen."""
        for thing in self.conditions.with_lights(trial):
            seen = self.named.alone(thing, trial.off) if trial.doing is Activity.USE else trial
            looks = self.conditions.looks(thing)
            read = self.conditions.reader(thing, trial)
            bands, shown = self.conditions.bands(thing)
            about = Subject("light", (thing,), self._place(thing))
            key = about.kind, about.subjects, seen
            if key not in self._made:
                answers = tuple(dict.fromkeys((*looks.values(), "dark")))
                question = self._question(about, seen, answers)
                self._made[key] = Observation(question, read, seen, bands, shown)
            yield self._made[key]
