"""What the file leaves open: the smallest standard fuse, then the smallest standard cable that serves it."""

from math import isinf

from vandoc.calc.conductor import STANDARD_AREAS_MM2
from vandoc.calc.fuse import CONTINUOUS_FRACTION, next_rating, standard_ratings
from vandoc.data import constant
from vandoc.network.graph import Conductor, FuseLink, far_end, owner_of
from vandoc.sizing.results import Decided, Drop
from vandoc.sizing.trial import Trial, within_limits
from vandoc.sizing.widths import widths_at


class Proposals:
    """Chooses what is open in a trial, and remembers what decided each cable."""

    def __init__(self, trial: Trial) -> None:
        self.trial = trial
        self.network = trial.network
        self.open = [c for c in trial.network.conductors.values() if c.area_mm2 is None]
        self.decided: dict[str, Decided] = dict.fromkeys(trial.areas, "given")
        self.raised = dict.fromkeys(trial.areas, 0.0)  # least size that the voltage drop asks for
        served = (*trial.network.sources, *trial.network.consumers)
        self._served = {thing.owner for thing in served}
        self._supplies = {c.id: self._supplies_of(c) for c in self.open if self.network.is_return(c)}
        self._widths: dict[str, tuple[float, ...]] = {}
        self._widths_for: dict[str, float] = {}

    def choose(self) -> None:
        """Make every choice: by fuse and current, larger where too much voltage is lost, no larger."""
        self._settle()
        while self._enlarge():
            self._settle()
        self._reduce()

    def _settle(self) -> None:
        """Choose until the choice agrees with the currents that it gives."""
        trial = self.trial
        for _ in range(40):
            trial.solve()
            before = (dict(trial.areas), dict(trial.ratings))
            self._choose_fuses()
            self._choose_conductors()
            if before == (trial.areas, trial.ratings):
                return

    def _choose_fuses(self) -> None:
        trial = self.trial
        for link in self.network.fuses.values():
            if link.rating_a is None:
                multiple = constant("start-up multiple").value
                lasting = trial.continuous_a(link) / CONTINUOUS_FRACTION
                needed = max(lasting, trial.design_a(link), trial.start_a(link) / multiple)
                rating = next_rating(link.family, needed)
                trial.ratings[link.id] = rating or standard_ratings(link.family)[-1]

    def _choose_conductors(self) -> None:
        if self._widths_for != self.trial.ratings:
            self._widths_for = dict(self.trial.ratings)
            self._widths = {c.id: widths_at(self.network, c, self._widths_for) for c in self.open}
        ways_out = [c for c in self.open if not self.network.is_return(c)]
        for conductor in ways_out:
            self._choose(conductor, self._needed(conductor), 0.0, "fuse and current")
        for conductor in self.open:
            if self.network.is_return(conductor):
                least = self._supply_area(conductor)
                self._choose(conductor, self.trial.design_a(conductor), least, "as its supply")

    def _needed(self, conductor: Conductor) -> float:
        """What a cable must carry: its current, and whatever its fuses let through before they open.

        Where a battery reaches one end without a fuse, the fuses beyond the other end protect it.
        """
        if conductor.signal:
            return 0.0
        needed = self.trial.design_a(conductor)
        for end, width in zip((conductor.start, conductor.end), self._widths[conductor.id], strict=True):
            needed = max(needed, self._beyond(conductor, end) if isinf(width) else width)
        return needed

    def _beyond(self, conductor: Conductor, end: str) -> float:
        """The largest of the fuses that the other end leads to with no fuse between. [A]"""
        others = self.network.flood(
            [far_end(conductor, end)], lambda edge: edge is not conductor and not isinstance(edge, FuseLink)
        )
        fuses = [link for link in self.network.fuses.values() if {link.start, link.end} & others]
        return max((self.trial.ratings[link.id] for link in fuses), default=0.0)

    def _choose(self, conductor: Conductor, needed_a: float, least_mm2: float, why: Decided) -> None:
        trial = self.trial
        least = constant("smallest separate conductor").value if conductor.length_m > 0.2 else 0.0
        floor = max(least, least_mm2, self.raised[conductor.id])
        for area in STANDARD_AREAS_MM2:
            found = trial.capacities(conductor, area)
            if area < floor - 1e-6 or not found or found[0].amps_a < needed_a:
                continue
            trial.areas[conductor.id] = area
            if area == self.raised[conductor.id]:
                why = "voltage drop"
            elif area == least and area > least_mm2:
                why = "smallest allowed"
            self.decided[conductor.id] = why
            return
        trial.areas[conductor.id] = max(STANDARD_AREAS_MM2[-1], least_mm2)
        self.decided[conductor.id] = "none fits"

    def _supply_area(self, conductor: Conductor) -> float:
        """The largest of the cables that this way back belongs to."""
        return max((self.trial.areas[ident] for ident in self._supplies[conductor.id]), default=0.0)

    def _supplies_of(self, conductor: Conductor) -> list[str]:
        """The supply cable of the same circuit, and those of the pieces that this way back serves."""
        owners = {owner_of(conductor.start), owner_of(conductor.end)} & self._served
        found = []
        for other in self.network.conductors.values():
            ends = {owner_of(other.start), owner_of(other.end)}
            circuit = other.role == "supply" and other.circuit == conductor.circuit
            if (circuit or ends & owners) and not self.network.is_return(other) and not other.signal:
                found.append(other.id)
        return found

    def _enlarge(self) -> bool:
        """Ask for one size more where each load that loses too much loses most; say whether any could."""
        wanted: dict[str, float] = {}
        for drop in self.trial.drops().values():
            if drop.percent > drop.limit.percent:
                wanted.update(self._one_more(drop))
        self.raised.update(wanted)
        return bool(wanted)

    def _one_more(self, drop: Drop) -> dict[str, float]:
        """The open cable that loses most, way back included, and the next size of it."""
        losses = {edge_id: amps * ohm for edge_id, amps, ohm in drop.steps}
        open_ids = {c.id for c in self.open}
        total: dict[str, float] = {}
        for conductor in self.open:
            pair = f"{conductor.circuit} supply"
            leader = pair if conductor.role == "return" and pair in open_ids else conductor.id
            total[leader] = total.get(leader, 0.0) + losses.get(conductor.id, 0.0)
        for ident in sorted(total, key=lambda ident: -total[ident]):
            larger = [area for area in STANDARD_AREAS_MM2 if area > self.trial.areas[ident]]
            if larger and total[ident] > 0:
                return {ident: larger[0]}
        return {}

    def _reduce(self) -> None:
        """Take back each enlargement that the others made needless, the most copper first."""
        if not within_limits(self.trial.drops()):
            return
        lengths = {c.id: c.length_m for c in self.open}
        raised = [ident for ident, area in self.raised.items() if area]
        for ident in sorted(raised, key=lambda ident: -lengths[ident] * self.raised[ident]):
            while self.raised[ident]:
                kept = self.raised[ident]
                smaller = [area for area in STANDARD_AREAS_MM2 if area < kept]
                self.raised[ident] = smaller[-1] if smaller else 0.0
                self._settle()
                if not within_limits(self.trial.drops()):
                    self.raised[ident] = kept
                    self._settle()
                    break
                if self.trial.areas[ident] > self.raised[ident]:  # something else asks for this size
                    self.raised[ident] = 0.0
