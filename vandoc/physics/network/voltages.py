"""The highest voltage that any source brings onto a net: it decides for fuses, contacts and holders."""

from collections.abc import Mapping

from vandoc.ground.calc.battery import full_voltage_v, highest_charging_v
from vandoc.ground.calc.solar import string_voc_v
from vandoc.ground.data import constant
from vandoc.model import equipment as eq
from vandoc.model.system import CompletedSystem
from vandoc.model.van import Place
from vandoc.physics.network.graph import Network, Source

STANDARD_C = 25.0  # charging voltages are stated for this temperature


def highest_v(system: CompletedSystem, network: Network, node: str) -> float | None:
    """Return the highest voltage that any source brings onto the net of a terminal.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
        Of that system.
    node : str

    Returns
    -------
    float or None
        None without a source. Of a battery, the voltage at rest when full; of a charger, its highest setting;
        if that is not stated, or nothing on the net charges a battery, the highest at which the battery may
        be charged. Of panels, the open-circuit voltage at the lowest temperature. [V]
    """
    reached = network.joined(node)
    sources = [source for source in network.sources if source.plus in reached]
    batteries = {source.owner: source for source in sources if source.kind == "battery"}
    chargers = [source for source in sources if source.kind in ("charger", "alternator")]
    settings = [charging_v(system, source, batteries) for source in chargers]
    volts = [found for found in settings if found is not None]
    pieces, arrays = system.batteries, system.of_kind(eq.SolarArray)
    for source in sources:
        if source.kind == "battery":
            piece = pieces[source.owner]
            label = (piece.chemistry, source.nominal_v, piece.cells)
            volts += [full_voltage_v(*label), source.nominal_v]
            if not settings or None in settings:
                volts.append(highest_charging_v(*label))
        elif source.kind == "solar":
            volts.append(coldest_voc_v(system, arrays[source.owner]))
        elif source.kind == "converter":
            volts.append(source.nominal_v)
    return max(volts, default=None)


def charging_v(system: CompletedSystem, source: Source, batteries: Mapping[str, Source]) -> float | None:
    """Return the highest voltage that a source charges batteries with, if its settings are stated. [V]

    With a temperature sensor a charger raises its voltage in the cold: by as much as the batteries of its net
    need at the lowest temperature of their location.
    """
    vehicle = system.of_kind(eq.VehicleSource).get(source.owner)
    if vehicle is not None:
        name = f"{'smart ' if vehicle.is_smart() else ''}alternator voltage per 12 V"
        return vehicle.held_v or constant(name).value * source.nominal_v / 12
    piece = system.of_kind(eq.Charger).get(source.owner)
    if piece is None or piece.profile is None:
        return None
    highest = max(piece.profile.absorption_v, piece.profile.equalise_v or 0.0)
    stated = piece.profile.compensation_mv_per_k
    if stated is not None:
        kelvin = (STANDARD_C - _place_of(system, one).coldest_c for one in batteries.values())
        return highest + max((max(0.0, -stated * k / 1000) for k in kelvin), default=0.0)
    if not piece.profile.temperature_sensor:
        return highest
    raised = (compensated_v(system, one, cold=True) for one in batteries.values())
    return highest + max(raised, default=0.0)


def _place_of(system: CompletedSystem, source: Source) -> Place:
    return system.places[system.batteries[source.owner].place]


def compensated_v(system: CompletedSystem, source: Source, *, cold: bool) -> float:
    """Return what the coldest or the hottest temperature at a battery adds to its charging voltage. [V]"""
    place = _place_of(system, source)
    figure = system.batteries[source.owner].compensation_range(source.nominal_v)
    if figure is None:
        return 0.0
    kelvin = STANDARD_C - (place.coldest_c if cold else place.hottest_c)
    if cold:
        return max(0.0, -figure.low * kelvin / 1000)
    return min(0.0, -figure.high * kelvin / 1000)


def coldest_voc_v(system: CompletedSystem, array: eq.SolarArray) -> float:
    """Return the open-circuit voltage of a string at the lowest temperature of its location. [V]"""
    coldest = system.places[array.place].coldest_c
    return string_voc_v(array.series, array.voc_v, min(array.voc_coefficient_percent_per_k, 0.0), coldest)
