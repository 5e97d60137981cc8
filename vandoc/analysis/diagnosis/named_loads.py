"""Which loads are switched on for a look or a reading: one that is named, and that really draws current.

A pump may be dry, a step or a bed must not move, a socket is empty, and an appliance that has cut out draws
nothing. So only lamps are relied on to draw; for any other load a proof lamp takes its place where one may.
"""

from collections.abc import Mapping
from dataclasses import replace

from vandoc.analysis.diagnosis.permitted import proof_lamp_w
from vandoc.analysis.diagnosis.trial import Activity, Trial
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.graph import FuseLink, Network

MOST_LAMPS = 2


class NamedLoads:
    """The loads of one van that are switched on by name.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    ratings_a : mapping
        Of the fuses, stated or proposed. [A]
    """

    def __init__(self, system: CompletedSystem, network: Network, ratings_a: Mapping[str, float]) -> None:
        self.system, self.network, self.ratings_a = system, network, ratings_a
        self._measured: dict[Trial, Trial] = {}

    def whole(self) -> Trial:
        """Return the trial for the entire van: two lamps, of two fuse boards if there are two."""
        lamps = [ident for ident, load in self.system.loads.items() if load.importance == "lighting"]
        boards = {load: circuit.fuse.board for circuit in self.system.circuits for load in circuit.loads}
        firsts = {boards.get(lamp): lamp for lamp in reversed(lamps)}
        ordered = sorted(lamps, key=lambda lamp: firsts[boards.get(lamp)] != lamp)
        return Trial(Activity.USE, on=tuple((ordered or list(self.system.loads))[:MOST_LAMPS]))

    def alone(self, thing: str, off: tuple[str, ...] = ()) -> Trial:
        """Return the trial in which a load is on by itself; for other devices that of the entire van."""
        trial = Trial(Activity.USE, on=(thing,)) if thing in self.system.loads else self.whole()
        return replace(trial, off=off)

    def measured(self, trial: Trial) -> Trial:
        """Return the trial in which voltages are measured if a symptom is seen in another."""
        if trial not in self._measured:
            self._measured[trial] = self._with_lamp(trial)
        return self._measured[trial]

    def _with_lamp(self, trial: Trial) -> Trial:
        """The trial with a proof lamp for a load that may not draw, and for a converter that may stop."""
        if trial.on is None or len(trial.on) != 1:
            return trial
        (thing,) = trial.on
        lamp = () if self.system.loads[thing].importance == "lighting" else self._lamp(thing)
        before = tuple(one for name in self._converters(thing) for one in self._lamp(name))
        return replace(trial, on=() if lamp else trial.on, lamps=(*lamp, *before))

    def _lamp(self, device: str) -> tuple[tuple[str, float], ...]:
        """The proof lamp of a device; none if nobody may use one there."""
        (consumer,) = (one for one in self.network.consumers if one.owner == device)
        fuse_a = self._fuse_a(consumer.plus)
        watts = proof_lamp_w(self.system, device, consumer.nominal_v, consumer.amps_a, fuse_a)
        return () if watts is None else ((device, watts),)

    def _converters(self, thing: str) -> tuple[str, ...]:
        """The converter that supplies a load, if one does."""
        (consumer,) = (one for one in self.network.consumers if one.owner == thing)
        converters = [source for source in self.network.sources if source.kind == "converter"]
        taken = {one.owner for one in self.network.consumers}
        return tuple(
            source.owner
            for source in converters
            if source.owner in taken and self.network.path([source.plus], consumer.plus) is not None
        )

    def _fuse_a(self, terminal: str) -> float | None:
        """The rating of the last fuse before a terminal; None without one."""
        starts = [source.plus for source in self.network.sources if source.kind in ("battery", "converter")]
        way = self.network.path(starts, terminal) or []
        fuses = (edge for edge in reversed(way) if isinstance(edge, FuseLink))
        return next((self.ratings_a.get(fuse.id) for fuse in fuses), None)
