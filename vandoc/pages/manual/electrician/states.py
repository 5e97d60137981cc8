"""The electrician's page on operating states: voltages, currents, losses and temperatures, with working."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from vandoc.ground.calc.conductor import resistance_per_metre
from vandoc.ground.calc.devices import Battery, Device, Supply
from vandoc.ground.calc.operating_point import NoOperatingPoint
from vandoc.ground.figures import bare, fixed, number, quantity, stated
from vandoc.ground.measures import measured
from vandoc.judgement.checks.shared.operating import lowest_v
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.starting import start_rows
from vandoc.pages.manual.electrician.sums import copper_at
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import say
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.states import OperatingState
from vandoc.physics.sizing.results import SizedConductor


@dataclass(frozen=True)
class DeviceRow:
    """Power supplied or drawn by one device; numbers as text, units in the table heading."""

    name: str
    does: str
    volts: str
    lowest: str
    amps: str
    watts: str


@dataclass(frozen=True)
class WireRow:
    """Current through one cable or fuse; numbers as text, units in the table heading."""

    ident: str
    name: str
    amps: str
    limit: str
    part: str
    lost: str
    watts: str
    copper: str


@dataclass(frozen=True)
class StateView:
    """One operating state.

    Attributes
    ----------
    name, assumed : str
    failed : tuple of str
        Loads that cannot be supplied if there is no solution; all other fields are then empty.
    share : str
        Share of the total load at which the voltage collapses.
    unsettled : bool
        Whether the calculation did not settle; all other fields are then empty.
    balance : tuple of (item, power)
    devices : tuple of DeviceRow
    mains, circuits : tuple of WireRow
        Main cables and all fuses; the cables of single circuits.
    sums : tuple of (title, lines)
    """

    name: str
    assumed: str
    failed: tuple[str, ...] = ()
    share: str = ""
    unsettled: bool = False
    balance: tuple[tuple[str, str], ...] = ()
    devices: tuple[DeviceRow, ...] = ()
    mains: tuple[WireRow, ...] = ()
    circuits: tuple[WireRow, ...] = ()
    sums: tuple[tuple[str, tuple[str, ...]], ...] = ()


def pages(book: Book) -> Iterator[Page]:
    """Yield the page on operating states."""
    case = book.van
    views = [
        _failed(book, state, case.no_operating_point[state])
        if state in case.no_operating_point
        else _state(book, case.solved[state])
        for state in OperatingState
        if state in case.solved or state in case.no_operating_point
    ]
    shown = {"states": views, "starts": tuple(start_rows(book))}
    yield Page("electrician/states.md", "electrician/states", say("menu.states"), shown, searched=False)


def _named(state: OperatingState) -> tuple[str, str]:
    key = state.name.lower()
    return say(f"state.{key}.name"), say(f"state.{key}.assumed")


def _failed(book: Book, state: OperatingState, found: NoOperatingPoint) -> StateView:
    if not found.settles:
        return StateView(*_named(state), unsettled=True)
    loads = tuple(_device_name(book, name) for name in found.loads)
    return StateView(*_named(state), failed=loads, share=quantity(100 * found.share, "%"))


def _state(book: Book, solved: SolvedState) -> StateView:
    wires = [_wire(book, solved, sized) for sized in book.sizing.conductors.values()]
    single = {c.id for c in book.network.conductors.values() if c.circuit is not None}
    return StateView(
        *_named(solved.state),
        balance=tuple(
            (say(f"balance.{key}"), quantity(round(watts, 3), "W")) for key, watts in balance(solved)
        ),
        devices=tuple(_devices(book, solved)),
        mains=tuple(row for row in wires if row.ident not in single) + tuple(_fuses(book, solved)),
        circuits=tuple(row for row in wires if row.ident in single),
        sums=tuple(_sums(book, solved)),
    )


def power_w(solved: SolvedState, device: Device) -> float:
    """Return the power that a device supplies; negative if it draws power. [W]"""
    across = solved.across_v(device.plus, device.minus) or 0.0
    amps = solved.device_amps.get(device.name, 0.0)
    return across * amps * (1 if isinstance(device, Battery | Supply) else -1)


def balance(solved: SolvedState) -> list[tuple[str, float]]:
    """Return the power balance of a state; the first value equals the sum of the others.

    Returns
    -------
    list of (str, float)
        ``"given"``, ``"stored"``, ``"loads"``, ``"inlets"``, ``"wires"``. [W]
    """
    inlets = [d.inlet for d in solved.devices if isinstance(d, Supply) and d.inlet is not None]
    powers = [power_w(solved, device) for device in solved.devices if isinstance(device, Battery | Supply)]
    loads = [device for device in solved.devices if not isinstance(device, Battery | Supply)]
    return [
        ("given", sum(watts for watts in powers if watts > 0)),
        ("stored", -sum(watts for watts in powers if watts < 0)),
        ("loads", -sum(power_w(solved, load) for load in loads)),
        ("inlets", -sum(power_w(solved, inlet) for inlet in inlets)),
        ("wires", sum(solved.loss_w(edge_id) for edge_id in solved.amps)),
    ]


def _device_name(book: Book, name: str) -> str:
    owner = name.removesuffix(" inlet")
    return say("inlet", name=book.name(owner)) if owner != name else book.name(name)


def _amount(value: float) -> str:
    """The magnitude of a value, without the rounding noise of the numerical solution."""
    return number(round(abs(value), 4))


def _devices(book: Book, solved: SolvedState) -> Iterator[DeviceRow]:
    lowest = {c.owner: lowest_v(book.van, c) for c in book.network.consumers}
    inlets = [d.inlet for d in solved.devices if isinstance(d, Supply) and d.inlet is not None]
    for device in (*solved.devices, *inlets):
        across = solved.across_v(device.plus, device.minus)
        if across is None:
            continue
        watts = power_w(solved, device)
        least = lowest.get(device.name)
        giver = isinstance(device, Battery | Supply)
        does = ("gives" if watts >= 0 else "charged") if giver else "takes"
        yield DeviceRow(
            _device_name(book, device.name),
            say(f"does.{does if abs(watts) > 1e-3 else 'rests'}"),
            fixed(across, 2),
            "" if least is None else stated(least),
            _amount(solved.device_amps.get(device.name, 0.0)),
            _amount(watts),
        )


def _wire(book: Book, solved: SolvedState, sized: SizedConductor) -> WireRow:
    ident, amps = sized.conductor.id, abs(solved.amps[sized.conductor.id])
    capacity = 0.0 if sized.conductor.vehicle else sized.capacity_a
    return WireRow(
        ident,
        say("wire_of", name=book.edge_name(ident), ident=ident),
        _amount(amps),
        number(capacity) if capacity else "",
        fixed(100 * amps / capacity, 0) if capacity else "",
        _amount(1000 * amps * solved.ohms[ident]),
        _amount(solved.loss_w(ident)),
        number(measured(solved.temperature_c(ident), "°C")[0]),
    )


def in_order(book: Book) -> list[str]:
    """Return the fuses in the order of their holders in the file, then by position on the board."""
    holders = list(book.system.equipment)
    fuses = book.network.fuses
    return sorted(fuses, key=lambda ident: (holders.index(fuses[ident].owner), fuses[ident].position or 0))


def _fuses(book: Book, solved: SolvedState) -> Iterator[WireRow]:
    for ident in in_order(book):
        sized = book.sizing.fuses[ident]
        amps = abs(solved.amps[ident])
        yield WireRow(
            ident,
            book.fuse_name(sized.link),
            _amount(amps),
            stated(sized.rating_a),
            fixed(100 * amps / sized.rating_a, 0),
            _amount(1000 * amps * solved.ohms[ident]),
            _amount(solved.loss_w(ident)),
            "",
        )


def _sums(book: Book, solved: SolvedState) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The working of the largest voltage drop, and of the hottest cable's temperature and resistance."""
    ways = [way for way in _ways(book, solved) if way[1]]
    if ways:
        owner, losses, across = max(ways, key=lambda way: sum(lost for _, lost in way[1]))
        lost = sum(volts for _, volts in losses)
        lines = [
            say(
                "drop_step",
                part=book.edge_name(ident),
                amps=quantity(volts / solved.ohms[ident], "A"),
                ohms=quantity(1000 * solved.ohms[ident], "mΩ"),
                volts=quantity(volts, "V"),
            )
            for ident, volts in losses
        ]
        ends = {"start": quantity(across + lost, "V", places=2), "end": quantity(across, "V", places=2)}
        lines.append(say("state_sum.arrives", lost=quantity(lost, "V"), **ends))
        yield say("state_sum.way", name=book.name(owner), lost=quantity(lost, "V")), tuple(lines)
    yield from _warmest(book.sizing.conductors.values(), solved)


def _ways(book: Book, solved: SolvedState) -> Iterator[tuple[str, list[tuple[str, float]], float]]:
    for consumer in book.network.consumers:
        drop = book.sizing.drops.get(consumer.owner)
        across = solved.across_v(consumer.plus, consumer.minus)
        if drop and across is not None and consumer.owner in solved.device_amps:
            way = [ident for ident, _, _ in drop.steps]
            losses = solved.losses(book.network, consumer.plus, consumer.minus, way)
            yield consumer.owner, losses, across


def _warmest(
    conductors: Iterable[SizedConductor], solved: SolvedState
) -> Iterator[tuple[str, tuple[str, ...]]]:
    judged = [sized for sized in conductors if sized.capacity_a and not sized.conductor.vehicle]
    if not judged:
        return
    sized = max(judged, key=lambda one: abs(solved.amps[one.conductor.id]) / one.capacity_a)
    cable, amps = sized.conductor, abs(solved.amps[sized.conductor.id])
    celsius = solved.temperature_c(cable.id)
    cold = resistance_per_metre(sized.area_mm2, sized.ambient_c) * 1000
    warm = 1000 * solved.ohms[cable.id] / cable.length_m if cable.length_m else cold
    lines = (
        say(
            "state_sum.warmth",
            ambient=bare(sized.ambient_c, "°C"),
            rating=bare(max(cable.insulation_c, sized.ambient_c), "°C"),
            amps=quantity(amps, "A"),
            capacity=quantity(sized.capacity_a, "A"),
            celsius=quantity(celsius, "°C"),
        ),
        say(
            "state_sum.ohms",
            cold=quantity(cold, "mΩ/m"),
            ambient=bare(sized.ambient_c, "°C"),
            **copper_at(celsius),
            warm=quantity(warm, "mΩ/m"),
        ),
        say(
            "state_sum.loss",
            amps=quantity(amps, "A"),
            ohms=quantity(1000 * solved.ohms[cable.id], "mΩ"),
            watts=quantity(solved.loss_w(cable.id), "W"),
        ),
    )
    yield say("state_sum.warmest", cable=cable.id, celsius=quantity(celsius, "°C")), lines
