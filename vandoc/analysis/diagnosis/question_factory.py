"""What all questions of a van have in common: location, effort and permitted reader."""

from dataclasses import dataclass

from vandoc.analysis.diagnosis.families import Families
from vandoc.analysis.diagnosis.observations import Observation, Read, efforts, meter_noise
from vandoc.analysis.diagnosis.permitted import Kind, owner_pulls, reader_of
from vandoc.analysis.diagnosis.problem import Question, Reader
from vandoc.analysis.diagnosis.trial import Trial
from vandoc.model.van import Place
from vandoc.physics.network.graph import FuseLink


@dataclass(frozen=True)
class Subject:
    """The subject of a question: its kind, the items or terminals, and their location."""

    kind: Kind
    subjects: tuple[str, ...]
    place: Place | None
    fuse: FuseLink | None = None


class QuestionFactory:
    """Makes the questions of one van, each once.

    Parameters
    ----------
    families : Families
        The faults of the van, solved.
    """

    def __init__(self, families: Families) -> None:
        self.families, self.bench = families, families.bench
        self.system, self.network = self.bench.system, self.bench.network
        self._efforts = efforts()
        self._noise = meter_noise()
        self._made: dict[tuple[object, ...], Observation] = {}

    def batteries(self) -> list[str]:
        """Return the leisure batteries."""
        return list(self.system.leisure)

    def _place(self, thing: str) -> Place | None:
        name = self.network.places.get(thing)
        if name is None:
            piece = self.system.equipment.get(thing) or self.system.loads.get(thing)
            name = piece.place if piece else None
        return self.system.places.get(name) if name else None

    def _effort(self, about: Subject) -> float:
        covered = about.place is not None and about.place.access is not None
        by_hand = about.kind in ("works", "light", "charge")
        return self._efforts[about.kind] + (self._efforts["cover"] if covered and not by_hand else 0.0)

    def _reader(self, about: Subject) -> Reader:
        fuse = about.fuse
        pulled = fuse is not None and owner_pulls(
            self.system, self.network, fuse, self.bench.ratings_a[fuse.id]
        )
        return reader_of(about.kind, about.place, pulled)

    def _fixed(
        self,
        about: Subject,
        read: Read,
        answers: tuple[str, ...],
        cures: frozenset[str] = frozenset(),
        edge: str | None = None,
    ) -> Observation:
        """A question that is answered from the faults alone, without a solved network."""
        key = about.kind, about.subjects
        if key not in self._made:
            question = Question(
                " ".join((about.kind, *about.subjects)),
                about.kind,
                about.subjects,
                self._effort(about),
                self._reader(about),
                answers,
                cures,
            )
            self._made[key] = Observation(question, read, edge=edge)
        return self._made[key]

    def _question(
        self,
        about: Subject,
        trial: Trial,
        answers: tuple[str, ...],
        expected: float | None = None,
        limits: tuple[float, ...] = (),
    ) -> Question:
        words = " ".join((about.kind, *about.subjects))
        on = trial.on or ()
        during = trial.doing.value + "".join(f", {contact} off" for contact in trial.off)
        during += "".join(f" + {load}" for load in (*on, *dict(trial.lamps)))
        ident = words if trial.on == about.subjects and not trial.off else f"{words} ({during})"
        reader = self._reader(about)
        effort = self._effort(about)
        return Question(
            ident,
            about.kind,
            about.subjects,
            effort,
            reader,
            answers,
            frozenset(),
            trial.doing.value,
            expected,
            limits,
            on,
            trial.lamps,
        )

    def _reading(
        self,
        about: Subject,
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
