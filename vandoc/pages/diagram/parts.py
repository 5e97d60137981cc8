"""Equipment and loads as parts of the single-line diagram: symbols and the data beside them."""

from vandoc.ground.figures import plain, stated
from vandoc.model import equipment as eq
from vandoc.model.system import System
from vandoc.model.wiring import Load
from vandoc.pages.diagram.words import WORDS, say
from vandoc.physics.sizing.results import Sizing

PROPOSED = "*"  # after a proposed size or rating


def amps(value: float | None) -> str:
    """Return a current with its unit, or nothing."""
    return "" if value is None else plain(stated(value, "A"))


def watts(value: float | None) -> str:
    """Return a power with its unit, or nothing."""
    return "" if value is None else plain(stated(value, "W"))


def volts(value: float | None) -> str:
    """Return a voltage with its unit, or nothing."""
    return "" if value is None else plain(stated(value, "V"))


def fuse_rating(fuse_id: str, sizing: Sizing) -> str:
    """Return the rating of a fuse, marked when it is proposed."""
    sized = sizing.fuses[fuse_id]
    return amps(sized.rating_a) + (PROPOSED if sized.proposed else "")


def _mark(piece: eq.Sizable) -> str:
    """Return the mark of a proposed size."""
    return PROPOSED if piece.proposed else ""


def symbol_of(piece: eq.AnyPiece) -> str:
    """Return the name of the symbol of an item of equipment."""
    match piece:
        case eq.Alternator():
            return "generator"
        case eq.SolarArray():
            return "solar"
        case eq.Charger():
            return "ac-dc" if piece.source == "mains" else "dc-dc"
        case eq.Converter():
            return "dc-dc"
        case eq.FuseBoard():
            return "board"
        case eq.EarthPoint():
            return "earth"
        case _:
            return piece.kind


def facts_of(ident: str, piece: eq.AnyPiece, system: System, sizing: Sizing) -> list[str]:
    """Return the data shown below the name of an item, such as its rating."""
    nominal = system.van.nominal_v
    match piece:
        case eq.Battery():
            capacity = f"{plain(stated(piece.capacity_ah, 'Ah'))}{_mark(piece)}"
            return [piece.chemistry, f"{volts(piece.nominal_v or nominal)}, {capacity}"]
        case eq.Alternator():
            return [amps(piece.rating_a)]
        case eq.SolarArray():
            count = piece.series * piece.parallel
            return [f"{count} × {watts(piece.power_w)}" if count > 1 else watts(piece.power_w)]
        case eq.Charger():
            output = f"{amps(piece.output_a)}{_mark(piece)}"
            output = f"{volts(piece.output_v)}, {output}" if piece.output_v else output
            return [output, say("sheet.from_mains")] if piece.source == "mains" else [output]
        case eq.Converter():
            return [f"{volts(piece.input_v)} to {volts(piece.output_v)}", amps(piece.output_a)]
        case eq.Inverter():
            return [watts(piece.power_w)]
        case eq.Fuse():
            return [f"{fuse_rating(ident, sizing)}, {piece.family}"]
        case eq.FuseBoard():
            count = sum(circuit.fuse.board == ident for circuit in system.circuits)
            return [amps(piece.rating_a), WORDS["sheet.circuits"][min(count, 2)].format(count=count)]
        case eq.Isolator() | eq.Switch() | eq.Relay() | eq.Busbar() | eq.Shunt():
            return [amps(piece.rating_a)]
        case eq.EarthPoint() | eq.Monitor():
            return []


def load_symbol(load: Load) -> str:
    """Return the name of the symbol of a load."""
    return "lamp" if load.importance == "lighting" else "load"


def load_facts(load: Load) -> list[str]:
    """Return the power or current that a load draws."""
    each = watts(load.power_w) if load.power_w is not None else amps(load.current_a)
    return [f"{load.count} × {each}" if load.count > 1 else each]
