"""Equipment and loads as parts of the single-line diagram: symbols and the data beside them."""

from vandoc.ground.figures import plain, stated
from vandoc.model import equipment as eq
from vandoc.model.system import CompletedSystem
from vandoc.model.traits import Fact
from vandoc.model.wiring import Load
from vandoc.pages.diagram.words import WORDS
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


def facts_of(ident: str, piece: eq.Piece, system: CompletedSystem, sizing: Sizing) -> list[str]:
    """Return the data shown below the name of an item, such as its rating."""
    if (link := piece.protects()) is not None:
        told = [_line(piece, line) for line in piece.facts(system.van.nominal_v)]
        return [f"{fuse_rating(ident, sizing)}, {link.family}", *told]
    if piece.positions() is not None and (carries := piece.carries()) is not None:
        count = sum(circuit.fuse.board == ident for circuit in system.circuits)
        return [amps(carries.limit_a), WORDS["sheet.circuits"][min(count, 2)].format(count=count)]
    return [_line(piece, line) for line in piece.facts(system.van.nominal_v)]


def _line(piece: eq.Piece, line: tuple[Fact, ...]) -> str:
    text = ""
    for fact in line:
        said = _said(piece, fact)
        text += f"{fact.before}{said}" if text and said else said
    return text


def _said(piece: eq.Piece, fact: Fact) -> str:
    if fact.word:
        return str(piece.words()["beside"][fact.word])
    if fact.value is None:
        return fact.text
    one = plain(stated(fact.value, fact.unit)) + (PROPOSED if fact.proposed else "")
    return f"{fact.count} × {one}" if fact.count > 1 else one


def load_symbol(load: Load) -> str:
    """Return the name of the symbol of a load."""
    return "lamp" if load.importance == "lighting" else "load"


def load_facts(load: Load) -> list[str]:
    """Return the power or current that a load draws."""
    each = watts(load.power_w) if load.power_w is not None else amps(load.current_a)
    return [f"{load.count} × {each}" if load.count > 1 else each]
