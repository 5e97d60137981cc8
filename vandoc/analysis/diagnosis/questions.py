"""What can be seen, tried or done in a van without measuring, and how fuses and contacts are tested."""

from collections.abc import Iterable, Iterator

from vandoc.analysis.diagnosis.conditions import Conditions
from vandoc.analysis.diagnosis.families import Families
from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.observations import Faults, Observation, Read
from vandoc.analysis.diagnosis.question_factory import QuestionFactory, Subject
from vandoc.analysis.diagnosis.standalone import StandaloneDevices
from vandoc.analysis.diagnosis.trial import OPEN_OHM, Point, Trial
from vandoc.ground.data import constant
from vandoc.physics.network.graph import Conductor, Edge, FuseLink, Joint

YES_NO = ("no", "yes")


class Questions(QuestionFactory):
    """The questions of one van.

    Parameters
    ----------
    families : Families
    faults : iterable of Fault
        All that it may have; the questions are about their parts.
    """

    def __init__(self, families: Families, faults: Iterable[Fault]) -> None:
        super().__init__(families)
        self.conditions = Conditions(self.bench)
        self.alone = StandaloneDevices(families, self.conditions)
        self.faults = {fault.cause.id: fault for fault in faults}
        self._ways: dict[str, tuple[str, ...]] = {}

    def still(self, edges: Iterable[Edge]) -> Iterator[Observation]:
        """Yield what can be seen or done at fuses, switches and contacts, whatever the van does.

        A cable is better judged by what falls across it under load; one for a signal carries too little.
        """
        for edge in edges:
            if isinstance(edge, FuseLink):
                yield self._look(edge)
                yield self._swap(edge)
            elif isinstance(edge, Joint) and f"left-off {edge.owner}" in self.faults:
                yield self._position(edge)
            if not isinstance(edge, Conductor) or edge.signal:
                yield self._continuity(edge)

    def off(self, edges: Iterable[Edge]) -> Iterator[Observation]:
        """Yield what can be seen or measured at contacts through which something runs that should not."""
        for edge in edges:
            if isinstance(edge, Joint):
                if f"left-on {edge.owner}" in self.faults:
                    yield self._position_off(edge)
                yield self._open_contact(edge)

    def charges(self) -> Iterator[Observation]:
        """Yield, for each battery, whether it holds its voltage once it was charged for a night."""
        for battery in self.batteries():

            def read(faults: Faults, _point: Point, battery: str = battery) -> str:
                kinds = {fault.kind for fault in faults if fault.cause.part == battery}
                return "mended" if kinds == {"flat"} and len(faults) == 1 else "no change"

            about = Subject("charge", (battery,), self._place(battery))
            cures = frozenset({f"flat {battery}"})
            yield self._fixed(about, read, ("no change", "mended"), cures)

    def _look(self, fuse: FuseLink) -> Observation:
        def read(faults: Faults, _point: Point) -> str:
            blown = any(f.edge == fuse.id and f.kind in ("fuse-blown", "shorted") for f in faults)
            return "broken" if blown else "whole"

        about = Subject("fuse-look", (fuse.id,), self._place(fuse.owner), fuse)
        return self._fixed(about, read, ("whole", "broken"), edge=fuse.id)

    def _swap(self, fuse: FuseLink) -> Observation:
        def read(faults: Faults, _point: Point) -> str:
            kinds = {f.kind for f in faults if f.edge == fuse.id}
            if "shorted" in kinds:
                return "blows again"
            return "mended" if kinds == {"fuse-blown"} and len(faults) == 1 else "no change"

        about = Subject("fuse-swap", (fuse.id,), self._place(fuse.owner), fuse)
        cures = frozenset({f"fuse-blown {fuse.id}"})
        return self._fixed(about, read, ("no change", "blows again", "mended"), cures, fuse.id)

    def _position(self, contact: Joint) -> Observation:
        def read(faults: Faults, _point: Point) -> str:
            return "off" if any(f.kind == "left-off" and f.edge == contact.id for f in faults) else "on"

        about = Subject("position", (contact.owner,), self._place(contact.owner))
        return self._fixed(about, read, ("on", "off"), frozenset({f"left-off {contact.owner}"}), contact.id)

    def _position_off(self, contact: Joint) -> Observation:
        """Whether what is meant to be off is."""

        def read(faults: Faults, _point: Point) -> str:
            return "on" if any(f.kind == "left-on" and f.edge == contact.id for f in faults) else "off"

        about = Subject("position-off", (contact.owner,), self._place(contact.owner))
        return self._fixed(about, read, ("off", "on"), frozenset({f"left-on {contact.owner}"}), contact.id)

    def _open_contact(self, contact: Joint) -> Observation:
        """The resistance across a contact as it stands, every battery disconnected, one end of it free."""

        def read(faults: Faults, _point: Point) -> str:
            closed = any(contact.id in fault.change.closed for fault in faults)
            return "connected" if closed else "not connected"

        about = Subject("open-contact", (contact.id,), self._place(contact.start))
        return self._fixed(about, read, ("not connected", "connected"), edge=contact.id)

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

        about = Subject("continuity", (edge.id,), self._place(edge.start) or self._place(edge.end))
        key = about.kind, about.subjects
        if key not in self._made:
            plain = self._fixed(about, read, ("connected", "not connected"))
            self._made[key] = Observation(
                plain.question, read, None, (limit,), ("connected", "not connected"), self._noise, edge.id
            )
        return self._made[key]

    def works(self, thing: str, trial: Trial = Trial.USE) -> Observation:
        """Whether something runs, while all else is on or off."""
        lowest = self.conditions.lowest_v(thing)
        ends = self.conditions.ends(thing)

        def read(faults: Faults, point: Point) -> float:
            return 0.0 if self.conditions.is_dead(thing, faults) else point.across_v(*ends)

        about = Subject("works", (thing,), self._place(thing))
        key = about.kind, about.subjects, trial
        if key not in self._made:
            question = self._question(about, trial, YES_NO)
            alone = self._alone_read(thing, read) if trial == Trial.USE else None
            self._made[key] = Observation(question, read, trial, (lowest,), YES_NO, alone=alone)
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
            about = Subject("light", (thing,), self._place(thing))
            key = about.kind, about.subjects, trial
            if key not in self._made:
                answers = tuple(dict.fromkeys((*looks.values(), "dark")))
                question = self._question(about, trial, answers)
                by_volts = trial == Trial.USE and thing in self.system.loads
                alone = self._alone_read(thing, read) if by_volts else None
                self._made[key] = Observation(question, read, trial, bands, shown, alone=alone)
            yield self._made[key]
