"""The electrician's lists of circuits and cables, each size with its working."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.ground.figures import bare, number, stated
from vandoc.ground.measures import measured
from vandoc.ground.unknown import cannot_tell
from vandoc.model.wiring import Circuit
from vandoc.pages.diagram.svg import identifier
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.sums import cable_sum, decision, drop_sum, fuse_sum, worst_drop
from vandoc.pages.manual.owner.fuses import path_of
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import say, sourced
from vandoc.physics.network.expand import load_current
from vandoc.physics.network.graph import Conductor
from vandoc.physics.sizing.results import SizedConductor


@dataclass(frozen=True)
class CableRow:
    """A row of the cable list; numbers as text, units in the table heading."""

    anchor: str
    id: str
    start: str
    end: str
    size: str
    decided: str
    length: str
    insulation: str
    hottest: str
    bunched: str
    current: str
    capacity: str
    basis: str
    copper: str


@dataclass(frozen=True)
class CapacityRow:
    """The current-carrying capacity of a cable according to one basis."""

    laid: str
    basis: str
    base: str
    ambient: str
    grouping: str
    installation: str
    capacity: str
    source: str


@dataclass(frozen=True)
class CircuitRow:
    """A row of the list of circuits, or of the devices fed by a separate cable."""

    anchors: tuple[str, ...]
    name: str
    fuse: str
    fuse_path: str | None
    rating: str
    loads: tuple[str, ...]
    current: str
    start: str
    cable: str
    cable_path: str | None
    lost: str
    percent: str
    limit: str
    source: str | None


def cable_anchor(ident: str) -> str:
    """Return the anchor of a cable in the cable list."""
    return f"cable-{identifier(ident)}"


def load_path(ident: str) -> str:
    """Return the address of a load on the electrician's pages."""
    return f"electrician/circuits.md#load-{ident}"


def pages(book: Book) -> Iterator[Page]:
    """Yield the list of circuits and the list of cables."""
    yield Page("electrician/circuits.md", "electrician/circuits", say("menu.circuits"), _circuits(book))
    # Not searched: every word of this long table would be a useless hit.
    view = _cables(book)
    yield Page("electrician/cables.md", "electrician/cables", say("menu.cables"), view, searched=False)


def _cables(book: Book) -> dict[str, object]:
    sized = book.sizing.conductors.values()
    laid: dict[tuple[object, ...], SizedConductor] = {}
    for one in sized:
        if not (one.conductor.vehicle or one.conductor.signal or cannot_tell(one.capacity_a)):
            key = (one.size, one.conductor.insulation_c, one.ambient_c, one.conductor.bunched)
            laid.setdefault(key, one)
    ordered = sorted(laid.values(), key=lambda one: (one.area_mm2, one.conductor.insulation_c, one.ambient_c))
    return {
        "rows": [_cable(one) for one in sized],
        "capacities": [row for one in ordered for row in _capacities(one)],
        "sums": [found for one in sized if (found := cable_sum(book, one))],
    }


def _cable(sized: SizedConductor) -> CableRow:
    cable = sized.conductor
    judged = not cable.vehicle and not cable.signal
    first = sized.capacities[0] if sized.capacities and judged else None
    return CableRow(
        anchor=cable_anchor(cable.id),
        id=cable.id,
        start=cable.start,
        end=cable.end,
        size=_size(sized),
        decided=_decided(cable, sized),
        length=bare(cable.length_m, "m"),
        insulation=bare(cable.insulation_c, "°C"),
        hottest=bare(sized.ambient_c, "°C"),
        bunched=str(cable.bunched),
        current=number(sized.design_a),
        capacity=number(first.amps_a) if first else say("no_figure"),
        basis=_basis(first.basis, first.from_memory) if first else "",
        copper=number(measured(sized.temperature_c, "°C")[0]),
    )


def _size(sized: SizedConductor) -> str:
    return say("proposed", value=sized.size) if sized.proposed else sized.size


def _supplies(cable: Conductor, circuit: Circuit) -> bool:
    return cable.circuit == circuit.id and cable.role == "supply"


def _decided(cable: Conductor, sized: SizedConductor) -> str:
    kind = "vehicle" if cable.vehicle else "signal" if cable.signal else decision(sized)
    return say(f"decided.{kind}")


def _basis(basis: str, from_memory: bool) -> str:
    return say("memory", value=basis) if from_memory else basis


def _capacities(sized: SizedConductor) -> Iterator[CapacityRow]:
    cable = sized.conductor
    laid = say(
        "laid",
        size=sized.size,
        insulation=stated(cable.insulation_c, "°C"),
        ambient=stated(sized.ambient_c, "°C"),
        bunched=cable.bunched,
    )
    for found in sized.capacities:
        work = found.working
        yield CapacityRow(
            laid,
            _basis(found.basis, found.from_memory),
            number(work.base_a),
            number(work.ambient_factor),
            number(work.grouping_factor),
            number(work.installation_factor),
            number(found.amps_a),
            sourced(found.source, found.from_memory),
        )


def _circuits(book: Book) -> dict[str, object]:
    rows = []
    for circuit in book.system.circuits:
        fuse = book.network.fuses[f"{circuit.fuse.board}.{circuit.fuse.position}"]
        name = circuit.name or circuit.id
        supplies = [one for one in book.sizing.conductors.values() if _supplies(one.conductor, circuit)]
        rows.append(_circuit(book, name, fuse.id, circuit.loads, supplies))
    on_circuits = {load for circuit in book.system.circuits for load in circuit.loads}
    for load in book.system.loads:
        if load not in on_circuits:
            fuses = book.supply.fuses_towards(f"{load}.+")
            rows.append(_circuit(book, book.name(load), fuses[0].id if fuses else None, (load,), []))
    return {
        "rows": rows,
        "fuses": [fuse_sum(book, fuse) for fuse in book.sizing.fuses.values()],
        "drops": [drop_sum(book, drop) for drop in book.sizing.drops.values()],
        "worst": worst_drop(book),
    }


def _circuit(
    book: Book, name: str, fuse_id: str | None, loads: tuple[str, ...], supplies: list[SizedConductor]
) -> CircuitRow:
    fuse = book.sizing.fuses[fuse_id] if fuse_id else None
    amps = sum(load_current(book.system.loads[load], book.system.van.nominal_v) for load in loads)
    starts = [book.system.loads[load].start_a for load in loads]
    start_a = max((value for value in starts if value is not None), default=None)
    drops = [book.sizing.drops[load] for load in loads if load in book.sizing.drops]
    worst = max(drops, key=lambda drop: drop.percent / drop.limit.percent, default=None)
    rating = stated(fuse.rating_a, "A") if fuse else ""
    return CircuitRow(
        anchors=tuple(f"load-{load}" for load in loads),
        name=name,
        fuse=book.fuse_name(fuse.link) if fuse else say("fuse.none"),
        fuse_path=path_of(fuse.link) if fuse else None,
        rating=say("proposed", value=rating) if fuse and fuse.proposed else rating,
        loads=tuple(book.name(load) for load in loads),
        current=number(amps),
        start=number(start_a) if start_a is not None else "",
        cable=", ".join(dict.fromkeys(map(_size, supplies))),
        cable_path=f"electrician/cables.md#{cable_anchor(supplies[0].conductor.id)}" if supplies else None,
        lost=number(worst.supply_v + worst.return_v) if worst else say("no_figure"),
        percent=number(worst.percent) if worst else say("no_figure"),
        limit=_basis(stated(worst.limit.percent), worst.limit.from_memory) if worst else "",
        source=sourced(worst.limit.source, worst.limit.from_memory) if worst else None,
    )
