"""The voltage of a device with everything else off, because an owner may try it alone.

A high-resistance joint in a shared cable drops more voltage with the other loads on; a device may run alone.
"""

from collections.abc import Iterable

from vandoc.analysis.diagnosis.conditions import Conditions
from vandoc.analysis.diagnosis.families import Families
from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.trial import OPEN_OHM, NetworkChange, Point, Trial


class StandaloneDevices:
    """The devices of one van, each on alone.

    Parameters
    ----------
    families : Families
        The faults of the van, solved.
    conditions : Conditions
        The conditions of its devices.
    """

    def __init__(self, families: Families, conditions: Conditions) -> None:
        self._families, self._conditions = families, conditions
        bench = families.bench
        self._loads = frozenset(c.owner for c in bench.network.consumers if c.kind in ("load", "monitor"))
        self._nominal = {c.owner: (c.nominal_v, c.amps_a) for c in bench.network.consumers}
        self._free = bench.solve(Trial.USE, NetworkChange(without=self._loads))

    def others(self, thing: str) -> NetworkChange:
        """Return the change that switches off all loads except one."""
        return NetworkChange(without=self._loads - {thing})

    def max_v(self, thing: str, path: frozenset[str], faults: Iterable[Fault], point: Point) -> float:
        """Return the highest voltage that a device may have when on alone. [V]

        Parameters
        ----------
        thing : str
            The device.
        path : frozenset of str
            The cables, fuses and contacts that carry its current.
        faults : iterable of Fault
        point : SolvedTrial or IntermediateFault
            The van with these faults and everything on; it gives their size.
        """
        together = point.across_v(*self._conditions.ends(thing))
        volts = self._free.across_v(*self._conditions.ends(thing))
        nominal_v, amps = self._nominal[thing]
        changed = False
        for fault in faults:
            for share in fault.change.volts.values():
                volts, changed = volts * share, True
            if not fault.sized or fault.edge is None:
                continue
            ohm = self._families.size_ohm(fault.edge, point)
            if ohm < OPEN_OHM:
                changed = True
                if fault.edge in path and amps:
                    volts *= nominal_v / (nominal_v + amps * ohm)
        return max(together, volts) if changed else together
