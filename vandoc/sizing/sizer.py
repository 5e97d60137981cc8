"""`calc` applied to one van: what each cable and fuse must carry, what it can carry, and what is proposed."""

from vandoc.calc.battery import prospective_current_a
from vandoc.calc.conductor import resistance_per_metre
from vandoc.model.system import System
from vandoc.network.currents import fault_levels
from vandoc.network.graph import Conductor, FuseLink, Network
from vandoc.sizing.propose import Proposals
from vandoc.sizing.results import Decided, SizedConductor, SizedFuse, Sizing
from vandoc.sizing.trial import Trial


def size(system: System, network: Network) -> Sizing:
    """Size a van.

    Returns
    -------
    Sizing
        `unfed` names consumers that no source reaches.
    """
    trial = Trial(system, network)
    proposals = Proposals(trial)
    proposals.choose()
    levels = fault_levels(system, network, trial.resistances())
    return Sizing(
        {c.id: _conductor(trial, c, proposals.decided[c.id]) for c in network.conductors.values()},
        {link.id: _fuse(trial, link, levels) for link in network.fuses.values()},
        trial.drops(),
        trial.states,
        tuple(c.owner for c in network.consumers if trial.volts(c) is None),
    )


def _conductor(trial: Trial, conductor: Conductor, decided: Decided) -> SizedConductor:
    area = trial.areas[conductor.id]
    temperature = trial.temperatures[conductor.id]
    return SizedConductor(
        conductor,
        area,
        conductor.area_mm2 is None,
        decided,
        trial.design_a(conductor),
        trial.ambient_c(conductor),
        trial.capacities(conductor, area),
        temperature,
        resistance_per_metre(area, temperature) * conductor.length_m,
    )


def _fuse(trial: Trial, link: FuseLink, levels: dict[str, tuple[float, float]]) -> SizedFuse:
    ends = [levels[node] for node in (link.start, link.end) if node in levels]
    prospective = max((prospective_current_a(volts, ohm) for volts, ohm in ends), default=0.0)
    rating = trial.ratings[link.id]
    return SizedFuse(
        link,
        rating,
        link.rating_a is None,
        link.rating_a is not None or rating >= trial.design_a(link),
        trial.design_a(link),
        trial.continuous_a(link),
        trial.start_a(link),
        prospective,
    )
