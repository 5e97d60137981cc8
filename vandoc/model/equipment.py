"""The equipment that rules and pages of one kind name: every class of ours, under one name."""

from vandoc.model.kinds import kinds
from vandoc.model.kinds.alternator import Alternator, VehicleSource
from vandoc.model.kinds.battery import Battery
from vandoc.model.kinds.busbar import Busbar
from vandoc.model.kinds.changeover_switch import ChangeoverSwitch
from vandoc.model.kinds.charger import Charger, Profile
from vandoc.model.kinds.circuit_breaker import CircuitBreaker
from vandoc.model.kinds.combiner import Combiner
from vandoc.model.kinds.connector import Connector
from vandoc.model.kinds.converter import Converter
from vandoc.model.kinds.dimmer import Dimmer
from vandoc.model.kinds.earth_point import EarthPoint
from vandoc.model.kinds.fuse import Fuse
from vandoc.model.kinds.fuse_board import BoardFuse, FuseBoard
from vandoc.model.kinds.fuse_tap import FuseTap
from vandoc.model.kinds.ignition_contact import IgnitionContact
from vandoc.model.kinds.inverter import Inverter
from vandoc.model.kinds.isolator import Isolator
from vandoc.model.kinds.load_disconnect import LoadDisconnect
from vandoc.model.kinds.monitor import Monitor
from vandoc.model.kinds.relay import Relay
from vandoc.model.kinds.shunt import Shunt
from vandoc.model.kinds.solar_array import SolarArray
from vandoc.model.kinds.switch import Switch
from vandoc.model.kinds.terminal_block import TerminalBlock
from vandoc.model.kinds.unidentified import Unidentified
from vandoc.model.kinds.unseen import Unseen
from vandoc.model.kinds.vehicle_converter import VehicleConverter
from vandoc.model.piece import (
    Condition,
    FaultKind,
    Indicator,
    Likelihoods,
    Piece,
    Sizable,
    Stud,
    full_terminals,
)
from vandoc.model.traits import FuseFamily
from vandoc.model.van import Hours

__all__ = [
    "Alternator",
    "Battery",
    "BoardFuse",
    "Busbar",
    "ChangeoverSwitch",
    "Charger",
    "CircuitBreaker",
    "Combiner",
    "Condition",
    "Connector",
    "Converter",
    "Dimmer",
    "EarthPoint",
    "FaultKind",
    "Fuse",
    "FuseBoard",
    "FuseFamily",
    "FuseTap",
    "Hours",
    "IgnitionContact",
    "Indicator",
    "Inverter",
    "Isolator",
    "Likelihoods",
    "LoadDisconnect",
    "Monitor",
    "Piece",
    "Profile",
    "Relay",
    "Shunt",
    "Sizable",
    "SolarArray",
    "Stud",
    "Switch",
    "TerminalBlock",
    "Unidentified",
    "Unseen",
    "VehicleConverter",
    "VehicleSource",
    "full_terminals",
    "kinds",
]
