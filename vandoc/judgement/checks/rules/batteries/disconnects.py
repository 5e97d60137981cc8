"""A load disconnect opens after large loads have stopped and before the battery is spoiled."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.model import equipment as eq


@rule(fail("disconnect-below-cells"), review("disconnect-before-load"), review("disconnect-closes-early"))
def disconnects(van: Van) -> Iterator[Breach]:
    """A load disconnect opens after large loads have stopped and before the battery is spoiled."""
    for ident, contact in van.of_kind(eq.LoadDisconnect):
        near = van.net(f"{ident}.in")
        batteries = [s.owner for s in van.sources_in(near, "battery") if s.owner in van.leisure]
        if not batteries:
            continue
        yield from _closing(van, ident, contact)
        for battery in batteries:
            yield from _spoiling(van, ident, contact, battery)
        for name, piece in van.system.equipment.items():
            stops = piece.cuts_off()
            if stops is None or stops.how != "load" or not {f"{name}.+", f"{name}.in"} & near:
                continue
            words: dict[str, Word] = {"name": piece.name, "contact": contact.name}
            least = contact.opens_v + constant("between cut-offs").value * van.system.van.nominal_v / 12
            limit, trail = Amount(least, "V", 2), van.trail(name)
            if stops.volts_v is None:
                yield Breach("disconnect-before-load", name, trail, words, None, limit, unknown=True)
            elif exceeds(least, stops.volts_v):
                found = Amount(stops.volts_v, "V", 2)
                yield Breach("disconnect-before-load", name, trail, words, found, limit)


def _closing(van: Van, ident: str, contact: eq.LoadDisconnect) -> Iterator[Breach]:
    """Yield a contact that closes at a voltage which the battery regains by itself."""
    rest = constant("recovery of a battery")
    least = contact.opens_v + rest.value * van.system.van.nominal_v / 12
    words, trail = {"contact": contact.name}, (*van.trail(ident), "closes")
    limit = Amount(least, "V", 2)
    if contact.closes_v is None:
        yield Breach("disconnect-closes-early", ident, trail, words, None, limit, (rest,), unknown=True)
    elif exceeds(least, contact.closes_v):
        found = Amount(contact.closes_v, "V", 2)
        yield Breach("disconnect-closes-early", ident, trail, words, found, limit, (rest,))


def _spoiling(van: Van, ident: str, contact: eq.LoadDisconnect, battery: str) -> Iterator[Breach]:
    """Yield a contact that opens when the cells are spoiled already."""
    piece = van.leisure[battery]
    nominal = piece.nominal_v or van.system.van.nominal_v
    floor = piece.traits.most(piece.traits.cut_off_v, nominal, piece.cells)
    if floor is not None and exceeds(floor.low, contact.opens_v):
        words: dict[str, Word] = {"contact": contact.name, "battery": piece.name}
        found, limit = Amount(contact.opens_v, "V", 2), Amount(floor.low, "V", 2)
        trail = (*van.trail(ident), "opens")
        yield Breach("disconnect-below-cells", ident, trail, words, found, limit, (floor,))
