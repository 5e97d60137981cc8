"""The working of each cable size, fuse rating and voltage drop, in lines that can be checked by hand."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.ground.calc.conductor import resistance_per_metre
from vandoc.ground.data import constant
from vandoc.ground.figures import bare, number, quantity, stated
from vandoc.ground.measures import measured
from vandoc.ground.unknown import CANNOT_TELL, cannot_tell
from vandoc.pages.diagram.plots import VoltageStep, voltage_plot, voltage_text
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.plots import Plot
from vandoc.pages.manual.text import Markup, say, sourced, upper_first
from vandoc.physics import limits
from vandoc.physics.network.expand import load_current
from vandoc.physics.sizing.results import Drop, SizedConductor, SizedFuse


@dataclass(frozen=True)
class Sum:
    """One result with its working and the sources of its figures."""

    name: str
    result: str
    lines: tuple[str, ...]
    source: str


def cable_sum(book: Book, sized: SizedConductor) -> Sum | None:
    """Return the working of a cable size; None if the cable is only recorded or no basis covers it."""
    cable = sized.conductor
    if cable.vehicle or cable.signal or not sized.capacities:
        return None
    if any(map(cannot_tell, (sized.area_mm2, sized.capacity_a, sized.needed_a, sized.ohm))):
        return None
    found = sized.capacities[0]
    work = found.working
    fits = "fits" if sized.needed_a <= found.amps_a * (1 + 1e-6) else "short"
    cold = resistance_per_metre(sized.area_mm2)
    lines = (
        say("sum.carries", amps=quantity(sized.design_a, "A"), needed=quantity(sized.needed_a, "A")),
        say(
            "sum.capacity",
            base=quantity(work.base_a, "A"),
            ambient=number(work.ambient_factor),
            grouping=number(work.grouping_factor),
            installation=number(work.installation_factor),
            amps=quantity(found.amps_a, "A"),
        ),
        say(f"sum.{fits}", amps=quantity(found.amps_a, "A"), needed=quantity(sized.needed_a, "A")),
        say(
            "sum.copper",
            ambient=bare(sized.ambient_c, "°C"),
            insulation=bare(cable.insulation_c, "°C"),
            amps=number(sized.design_a),
            capacity=number(found.amps_a),
            celsius=quantity(sized.temperature_c, "°C"),
        ),
        say(
            "sum.resistance",
            cold=quantity(1000 * cold, "mΩ/m"),
            length=stated(cable.length_m, "m"),
            **copper_at(sized.temperature_c),
            ohm=quantity(1000 * sized.ohm, "mΩ"),
        ),
    )
    zero = constant("copper temperature constant")
    source = "; ".join((sourced(found.source, found.from_memory), say("sum.class_5", source=zero.source)))
    name = say("sum.cable_named", id=cable.id, ends=book.edge_name(cable.id))
    size = sized.size.replace(" ", "\u00a0")
    return Sum(name, say("sum.size", size=size, why=say(f"decided.{decision(sized)}")), lines, source)


def copper_at(celsius: float) -> dict[str, str]:
    """Return the temperature of copper and the constants of its correction, in the units of the manual."""
    zero = constant("copper temperature constant").value
    at, below, reference = (measured(value, "°C")[0] for value in (celsius, -zero, 20.0))
    return {"celsius": number(at), "zero": number(-below, 4), "whole": number(reference - below, 4)}


def decision(sized: SizedConductor) -> str:
    """Return the criterion that determined a size, as a message key."""
    return sized.decided.replace(" ", "_")


def fuse_sum(book: Book, sized: SizedFuse) -> Sum:
    """Return the working of a proposed fuse rating, or of the minimum for a stated one."""
    rating = stated(sized.rating_a, "A")
    multiple, fraction = constant("start-up multiple"), limits.fuse_load(book.system)
    share = fraction.value * sized.ambient_factor
    if any(map(cannot_tell, (sized.rating_a, sized.design_a, sized.continuous_a, sized.start_a))):
        return _untold(upper_first(book.fuse_name(sized.link)), rating)
    lines = [
        *_loads(book, sized),
        say("sum.most", amps=quantity(sized.design_a, "A")),
        say(
            "sum.lasting",
            amps=quantity(sized.continuous_a, "A"),
            fraction=stated(share),
            least=quantity(sized.continuous_a / share, "A"),
        ),
    ]
    if sized.start_a:
        lines.append(
            say(
                "sum.start",
                amps=quantity(sized.start_a, "A"),
                multiple=number(multiple.value),
                least=quantity(sized.start_a / multiple.value, "A"),
            )
        )
    least = max(sized.design_a, sized.continuous_a / share, sized.start_a / multiple.value)
    kind = "proposed_rating" if sized.proposed else "given_rating"
    lines.append(say(f"sum.{kind}", least=quantity(least, "A"), rating=rating))
    cited = [fraction.source, *([multiple.source] if sized.start_a else [])]
    name = upper_first(book.fuse_name(sized.link))
    shown = say("proposed", value=rating) if sized.proposed else rating
    return Sum(name, shown, tuple(lines), "; ".join(dict.fromkeys(cited)))


def _loads(book: Book, sized: SizedFuse) -> Iterator[str]:
    """Yield the currents of the loads on the fuse's circuits, one line each."""
    for circuit in book.system.circuits:
        if (circuit.fuse.board, circuit.fuse.position) == (sized.link.owner, sized.link.position):
            for ident in circuit.loads:
                amps = load_current(book.system.loads[ident], book.system.van.nominal_v)
                yield say("sum.load", name=book.name(ident), amps=quantity(amps, "A"))


def drop_sum(book: Book, drop: Drop) -> Sum:
    """Return the working of a voltage drop, step by step."""
    if cannot_tell(drop.percent):
        return _untold(upper_first(book.name(drop.owner)), str(CANNOT_TELL))
    lines = tuple(
        say(
            "drop_step",
            part=say("sum.step", id=part, ends=book.edge_name(part)),
            amps=quantity(amps, "A"),
            ohms=quantity(ohms * 1000, "mΩ"),
            volts=quantity(amps * ohms, "V"),
        )
        for part, amps, ohms in drop.steps
    )
    result = say(
        "sum.drop",
        lost=quantity(drop.supply_v + drop.return_v, "V"),
        nominal=stated(drop.nominal_v, "V"),
        percent=quantity(drop.percent, "%"),
        limit=stated(drop.limit.percent, "%"),
    )
    return Sum(
        upper_first(book.name(drop.owner)),
        result,
        lines,
        sourced(drop.limit.source, drop.limit.from_memory),
    )


def _untold(name: str, result: str) -> Sum:
    return Sum(name, result, (say("sum.cannot_tell"),), "")


def worst_drop(book: Book) -> Plot | None:
    """Return the plot of the voltage drop closest to its limit; None if none can be told."""
    drops = [drop for drop in book.sizing.drops.values() if not cannot_tell(drop.percent)]
    drop = max(drops, key=lambda one: one.percent / one.limit.percent, default=None)
    if drop is None:
        return None
    supply: list[VoltageStep] = []
    back: list[VoltageStep] = []
    lost = 0.0
    for part, amps, ohms in drop.steps:
        (supply if lost < drop.supply_v - 1e-12 else back).append(
            VoltageStep(book.edge_name(part), amps * ohms)
        )
        lost += amps * ohms
    name = book.name(drop.owner)
    limit_v = drop.limit.percent / 100 * drop.nominal_v
    way = (name, drop.nominal_v, supply, back, limit_v)
    return Plot(Markup(voltage_plot("drop-worst", *way)), tuple(voltage_text(*way)))
