"""Functions shared by the rules on terminals."""

from vandoc.analysis import Van
from vandoc.ground.calc.torque import TorqueRange, any_torque_nm, battery_torque_nm, torque_range_nm
from vandoc.physics.sizing import SizedConductor


def cables_of(van: Van, ident: str) -> list[SizedConductor]:
    cables = van.cables_of(ident)
    return [van.sizing.conductors[cable.id] for cable in cables if not cable.vehicle]


def torque_range(van: Van, ident: str) -> TorqueRange:
    """Return the plausible torque of the terminals of an item: by its thread, and less for a battery."""
    thread = van.system.equipment[ident].stud
    if any(battery.owner == ident for battery in van.network.batteries()):
        return battery_torque_nm(thread)
    return torque_range_nm(thread) if thread else any_torque_nm()
