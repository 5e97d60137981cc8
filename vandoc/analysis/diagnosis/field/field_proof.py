"""What walks in fresh worlds came to: shares with their interval, steps, and the limits that are missed."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import fsum
from typing import Literal

from vandoc.analysis.diagnosis.problem import Cause, Reader
from vandoc.ground.calc.shares import share_interval
from vandoc.ground.data import rows

Result = Literal["alone", "list", "end", "wrong", "wrong list", "wrong end", "gave up"]
Quantity = Literal[
    "located", "wrong", "wrong if misled", "false find", "mean steps", "longest", "owner's longest"
]
LOCATED: tuple[Result, ...] = ("alone", "list", "end")
NAMED: tuple[Result, ...] = ("alone", "list", "wrong", "wrong list")
ANY = "any"


@dataclass(frozen=True)
class FieldWalk:
    """One tree followed in one world.

    Attributes
    ----------
    symptom : str
    reader : str
    cause : Cause or None
        What is wrong with the van; None for a van in good order.
    result : str
        Named alone or in a list of at most three, the right end without a part, or what was missed.
    steps : int
    """

    symptom: str
    reader: Reader
    cause: Cause | None
    result: Result
    steps: int


@dataclass(frozen=True)
class Share:
    """A share of walks with its 95 % interval."""

    part: int
    whole: int

    @property
    def value(self) -> float:
        return self.part / self.whole

    @cached_property
    def interval(self) -> tuple[float, float]:
        return share_interval(self.part, self.whole)


@dataclass(frozen=True)
class Limit:
    """What trees must reach in one `Quantity`."""

    quantity: str
    symptom: str
    limit: float
    unit: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Missed:
    """A limit that is missed."""

    group: str
    quantity: Quantity
    value: float
    limit: float


@dataclass(frozen=True)
class Group:
    """The walks of one kind of symptom by one reader; those of a van in good order apart."""

    name: str
    reader: Reader
    walks: tuple[FieldWalk, ...]
    good: tuple[FieldWalk, ...]

    @property
    def located(self) -> Share:
        return self._share(*LOCATED)

    @property
    def wrong(self) -> Share:
        return self._share("wrong")

    @property
    def gave_up(self) -> Share:
        return self._share("gave up", "wrong list", "wrong end")

    @property
    def false_finds(self) -> Share:
        return Share(sum(walk.result in NAMED for walk in self.good), len(self.good))

    @property
    def mean_steps(self) -> float:
        """The mean number of steps, weighted with the likelihood of each cause."""
        weights = [walk.cause.weight if walk.cause else 1.0 for walk in self.walks]
        steps = fsum(weight * walk.steps for weight, walk in zip(weights, self.walks, strict=True))
        return steps / fsum(weights)

    @property
    def longest(self) -> int:
        return max(walk.steps for walk in (*self.walks, *self.good))

    def _share(self, *results: Result) -> Share:
        return Share(sum(walk.result in results for walk in self.walks), len(self.walks))


@dataclass(frozen=True)
class FieldProof:
    """The result of the proof in fresh worlds.

    Attributes
    ----------
    seed : int
    misled : float
        The share of first questions answered wrongly.
    walks : tuple of FieldWalk
    unsolved : int
        Vans for which no voltages and currents agree; they are left out.
    """

    seed: int
    misled: float
    walks: tuple[FieldWalk, ...]
    unsolved: int

    def groups(self, reader: Reader) -> tuple[Group, ...]:
        """Return the walks of a reader by kind of symptom."""
        found: dict[str, list[FieldWalk]] = {}
        for walk in self.walks:
            if walk.reader == reader:
                found.setdefault(group_of(walk.symptom), []).append(walk)
        return tuple(
            Group(
                name,
                reader,
                tuple(walk for walk in walks if walk.cause),
                tuple(walk for walk in walks if not walk.cause),
            )
            for name, walks in found.items()
        )

    def missed(self) -> tuple[Missed, ...]:
        """Return the limits that are missed; a share misses one if its whole 95 % interval does."""
        limits = {(row.quantity, row.symptom): row.limit for row in rows("proof_limit", Limit)}
        found = []
        for group in self.groups("electrician"):
            found += list(_missed(group, limits, self.misled > 0))
        for group in self.groups("owner"):
            most = limits["owner's longest", ANY]
            if group.longest > most:
                found.append(Missed(group.name, "owner's longest", group.longest, most))
        return tuple(found)


def _missed(group: Group, limits: dict[tuple[str, str], float], misled: bool) -> Iterator[Missed]:
    least = limits.get(("located", group.name), limits["located", ANY])
    wrong: Quantity = "wrong if misled" if misled else "wrong"
    if group.walks:
        if not misled and 100 * group.located.interval[1] < least:
            yield Missed(group.name, "located", 100 * group.located.value, least)
        if 100 * group.wrong.interval[0] > limits[wrong, ANY]:
            yield Missed(group.name, wrong, 100 * group.wrong.value, limits[wrong, ANY])
        if group.mean_steps > limits["mean steps", ANY]:
            yield Missed(group.name, "mean steps", group.mean_steps, limits["mean steps", ANY])
    if group.good and 100 * group.false_finds.interval[0] > limits["false find", ANY]:
        yield Missed(group.name, "false find", 100 * group.false_finds.value, limits["false find", ANY])
    if group.longest > limits["longest", ANY]:
        yield Missed(group.name, "longest", group.longest, limits["longest", ANY])


def group_of(symptom: str) -> str:
    """Return the kind of a symptom; of charging, with its source."""
    return symptom if symptom.startswith("not-charging") else symptom.partition(" ")[0]
