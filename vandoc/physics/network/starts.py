"""Devices that are starting, with the battery nearly empty and what runs at night running."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.ground.calc.devices import Behaviour
from vandoc.ground.calc.starting import UsualStart, usual_start
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.expand import efficiency_of
from vandoc.physics.network.graph import Network

SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True)
class Start:
    """The starting current of one load, or the surge of one inverter.

    Attributes
    ----------
    owner : str
    behaves : str
        What it draws does not depend on the voltage (``"current"``), or its power does not (``"power"``).
    amount : float
        [A] or [W]
    amps_a : float
        At nominal voltage. [A]
    time_s : float
        How long it flows. [s]
    usual : UsualStart
        Where what is not stated comes from.
    stated, time_stated : bool
        Whether the current is stated, and the time.
    """

    owner: str
    behaves: Behaviour
    amount: float
    amps_a: float
    time_s: float
    usual: UsualStart
    stated: bool
    time_stated: bool


def starts(system: CompletedSystem, network: Network) -> tuple[Start, ...]:
    """Return each start that the van file states or describes; of a usual current, the largest counts."""
    return tuple(_starts(system, network))


def _starts(system: CompletedSystem, network: Network) -> Iterator[Start]:
    things = system.things
    for consumer in network.consumers:
        thing = things[consumer.owner]
        inrush = thing.inrush()
        if inrush is None or consumer.kind not in ("load", "inverter") or not consumer.amps_a:
            continue
        usual = usual_start(inrush.kind or "not stated")
        time_s = usual.time_s if inrush.time_h is None else inrush.time_h * SECONDS_PER_HOUR
        behaves: Behaviour = "current" if inrush.output_w is None else "power"
        if inrush.output_w is None:
            amps = usual.highest * consumer.amps_a if inrush.amps_a is None else inrush.amps_a
            amount = amps
        else:
            amount = inrush.output_w / efficiency_of(system.equipment[consumer.owner])
            amps = amount / consumer.nominal_v
        stated = inrush.amps_a is not None or inrush.output_w is not None
        yield Start(consumer.owner, behaves, amount, amps, time_s, usual, stated, inrush.time_h is not None)
