"""Checks of names in a van file that must refer to something in it, or may be used only once."""

from collections.abc import Iterator
from difflib import get_close_matches

from vandoc.ground.messages import Messages
from vandoc.model.chains import Fault, Path, chain_faults, links
from vandoc.model.designations import designated
from vandoc.model.equipment import Charger, Monitor, Shunt, SolarArray, full_terminals
from vandoc.model.records import record_faults
from vandoc.model.system import System
from vandoc.model.traits import CHASSIS, Positions
from vandoc.model.wiring import Return, Run

say = Messages("vandoc.model", "faults").say

__all__ = ["Fault", "Path", "faults", "switched_by_hand", "terminals"]


def faults(system: System) -> Iterator[Fault]:
    """Yield each reference to an unknown name and each duplicate use, with the path of the value."""
    yield from _nominal(system)
    yield from _names(system)
    yield from _designations(system)
    yield from _places(system)
    yield from _cables(system)
    yield from _circuits(system)
    yield from chain_faults(system, _unknown)
    yield from _pieces(system)
    yield from _open(system)
    yield from record_faults(system, _unknown, terminals(system))


def _unknown(path: Path, name: str, known: list[str], what: str) -> Fault:
    close = get_close_matches(name, known, 1)
    hint = say("references.did_you_mean", close=close[0]) if close else say("references.correct_or_add")
    return path, say("references.unknown_name", what=what, name=name, hint=hint)


def _nominal(system: System) -> Iterator[Fault]:
    if system.van.nominal_v not in (12, 24, 48):
        yield (
            ("van", "nominal"),
            say("references.nominal", volts=system.van.nominal_v),
        )


def _names(system: System) -> Iterator[Fault]:
    for ident in system.loads:
        if ident in system.equipment:
            yield ("loads", ident), say("references.name_of_item", ident=ident)
    for section in ("equipment", "loads"):
        if CHASSIS in getattr(system, section):
            yield (section, CHASSIS), say("references.chassis_reserved")
    seen: dict[str, str] = {}
    for index, circuit in enumerate(system.circuits):
        if circuit.id in seen:
            yield (
                ("circuits", index, "id"),
                say("references.name_of_circuit", id=circuit.id),
            )
        seen[circuit.id] = circuit.id
    idents: set[str] = set()
    for index, cable in enumerate(system.cables):
        if cable.id is not None:
            if cable.id in idents:
                yield (
                    ("cables", index, "id"),
                    say("references.name_of_cable", id=cable.id),
                )
            if cable.id in system.equipment:
                yield (
                    ("cables", index, "id"),
                    say("references.cable_named_as_item", id=cable.id),
                )
            idents.add(cable.id)


def _designations(system: System) -> Iterator[Fault]:
    seen: set[str] = set()
    for path, designation in designated(system):
        if designation in seen:
            yield (*path, "designation"), say("references.designation_taken", designation=designation)
        elif designation is not None:
            seen.add(designation)


def _places(system: System) -> Iterator[Fault]:
    known = list(system.places)

    def check(path: Path, name: str | None) -> Iterator[Fault]:
        if name is not None and name not in system.places:
            yield _unknown(path, name, known, "place")

    for ident, piece in system.equipment.items():
        yield from check(("equipment", ident, "place"), piece.place)
    for ident, load in system.loads.items():
        yield from check(("loads", ident, "place"), load.place)
    for index, cable in enumerate(system.cables):
        for number, name in enumerate(cable.through):
            yield from check(("cables", index, "through", number), name)
    for index, circuit in enumerate(system.circuits):
        for link in links(circuit):
            step: Path = () if link.number is None else (link.number,)
            for number, name in enumerate(link.run.through):
                yield from check(("circuits", index, "cable", *step, "through", number), name)
    for part in ("hook_up", "inverter_output"):
        record = getattr(system.mains, part) if system.mains else None
        if record is not None:
            yield from check(("mains", part, "where"), record.where)
    for index, alarm in enumerate(system.alarms):
        yield from check(("alarms", index, "place"), alarm.place)
        if alarm.load is not None and alarm.load not in system.loads:
            yield _unknown(("alarms", index, "load"), alarm.load, list(system.loads), "load")
    size = system.van.size
    for ident, spot in system.places.items():
        if spot.at.back_m > size.length_m:
            yield (
                ("places", ident, "at", "back"),
                say("references.beyond_rear", metres=spot.at.back_m, limit=size.length_m),
            )
        if spot.at.across_m > size.width_m:
            yield (
                ("places", ident, "at", "across"),
                say("references.beyond_side", metres=spot.at.across_m, limit=size.width_m),
            )


def terminals(system: System) -> dict[str, None]:
    """Return every terminal to which a cable can be connected, in file order."""
    found: dict[str, None] = {CHASSIS: None}
    for ident, piece in system.equipment.items():
        found.update(dict.fromkeys(full_terminals(ident, piece)))
    for ident, load in system.loads.items():
        found.update(dict.fromkeys(f"{ident}.{terminal}" for terminal in load.terminals()))
    return found


def _terminal(path: Path, name: str, known: dict[str, None], system: System) -> Iterator[Fault]:
    if name in known:
        return
    owner = name.partition(".")[0]
    own = [terminal for terminal in known if terminal.partition(".")[0] == owner]
    if own and len(own) <= 8:
        yield path, say("references.no_terminal", owner=owner, name=name, own=", ".join(own))
    elif own:
        yield (
            path,
            say(
                "references.no_terminal_of_many",
                owner=owner,
                name=name,
                own=own[0],
                first=own[1],
                last=own[-1],
            ),
        )
    else:
        yield _unknown(path, name, [*known, *system.equipment, *system.loads], "terminal")


def _cables(system: System) -> Iterator[Fault]:
    known = terminals(system)
    for index, cable in enumerate(system.cables):
        yield from _terminal(("cables", index, "from"), cable.start, known, system)
        yield from _terminal(("cables", index, "to"), cable.end, known, system)
        if cable.start == cable.end:
            yield ("cables", index, "to"), say("references.cable_to_itself", end=cable.end)


def _circuits(system: System) -> Iterator[Fault]:
    known = terminals(system)
    boards = {ident: held for ident, piece in system.equipment.items() if (held := piece.positions())}
    switches = switched_by_hand(system)
    positions: dict[tuple[str, int], str] = {}
    fed: dict[str, str] = {}
    for index, circuit in enumerate(system.circuits):
        fuse = circuit.fuse
        if fuse.board not in boards:
            yield _unknown(
                ("circuits", index, "fuse", "board"), fuse.board, list(boards), say("references.fuse_board")
            )
        elif fuse.position > boards[fuse.board].count:
            yield (
                ("circuits", index, "fuse", "position"),
                _no_position(fuse.position, fuse.board, boards[fuse.board]),
            )
        elif (fuse.board, fuse.position) in positions:
            other = positions[fuse.board, fuse.position]
            yield (
                ("circuits", index, "fuse", "position"),
                _taken(fuse.position, fuse.board, other),
            )
        positions.setdefault((fuse.board, fuse.position), circuit.id)
        for number, load in enumerate(circuit.loads):
            path: Path = ("circuits", index, "load")
            if not isinstance(circuit.load, str):
                path = (*path, number)
            if load not in system.loads:
                yield _unknown(path, load, list(system.loads), "load")
            elif load in fed:
                yield (
                    path,
                    say("references.already_supplied", load=load, fed=fed[load]),
                )
            fed[load] = circuit.id
        alone = isinstance(circuit.cable, Run)
        if alone and circuit.switch is not None and circuit.switch not in switches:
            yield _unknown(("circuits", index, "switch"), circuit.switch, switches, "switch")
        if isinstance(circuit.return_, Return):
            yield from _terminal(("circuits", index, "return", "to"), circuit.return_.to, known, system)
        else:
            yield from _terminal(("circuits", index, "return"), circuit.return_, known, system)


def _pieces(system: System) -> Iterator[Fault]:
    yield from _boards(system)
    shunts = list(system.of_kind(Shunt))
    for ident, monitor in system.of_kind(Monitor).items():
        if monitor.shunt is not None and monitor.shunt not in shunts:
            yield _unknown(("equipment", ident, "shunt"), monitor.shunt, shunts, "shunt")
    for ident, charger in system.of_kind(Charger).items():
        if (charger.array_low_w or 0) > (charger.array_high_w or float("inf")):
            yield ("equipment", ident, "array_low"), say("references.array_limits")
    contacts = [
        ident for ident, piece in system.equipment.items() if any(j.with_engine for j in piece.joins())
    ]
    for ident, load in system.loads.items():
        if load.drawn_in_by is not None and load.drawn_in_by not in contacts:
            yield _unknown(
                ("loads", ident, "drawn_in_by"), load.drawn_in_by, contacts, say("references.contact")
            )
        if (load.current_a is None) == (load.power_w is None):
            yield ("loads", ident), say("references.current_or_power")


def _open(system: System) -> Iterator[Fault]:
    """Yield sizes that are left open although the values for proposing them are missing."""
    use = system.use
    hours: dict[str, tuple[str, float | None]] = {
        "alternator": ("driven", use.driven_h if use else None),
        "mains": ("hook_up", use.hook_up_h if use else None),
    }
    batteries, chargers = system.batteries, system.of_kind(Charger)
    for ident in system.equipment:
        path: Path = ("equipment", ident)
        if ident in batteries and batteries[ident].is_open():
            if batteries[ident].role == "starter":
                yield path, say("references.capacity_missing")
            elif use is None or not use.nights:
                yield path, _left_out("capacity", "'use.nights'")
            elif not _hours_stated(system):
                yield path, _left_out("capacity", say("references.hours_of_loads"))
        elif ident in chargers and chargers[ident].is_open():
            if chargers[ident].source == "solar":
                if not system.of_kind(SolarArray):
                    yield path, _left_out("output", say("references.solar_array"))
                continue
            key, stated = hours[chargers[ident].source]
            if not stated:
                yield path, _left_out("output", f"'use.{key}'")
            elif not _hours_stated(system):
                yield path, _left_out("output", say("references.hours_of_loads"))


def _left_out(key: str, basis: str) -> str:
    return say("references.left_out", key=key, basis=basis)


def _hours_stated(system: System) -> bool:
    hours = [load.hours for load in system.loads.values()]
    return any(hours + [piece.hours_of_use() for piece in system.equipment.values()])


def switched_by_hand(system: System) -> list[str]:
    """Return the switches that a circuit can name: each has one contact that is set by hand."""
    return [
        ident
        for ident, piece in system.equipment.items()
        if [join.kind for join in piece.joins()] == ["switch"]
    ]


def _no_position(position: int | str, ident: str, board: Positions) -> str:
    return say("references.no_position", position=position, ident=ident, positions=board.count)


def _taken(position: int | str, board: str, circuit: str) -> str:
    return say("references.position_taken", position=position, board=board, circuit=circuit)


def _boards(system: System) -> Iterator[Fault]:
    """Check the positions of each board."""
    circuits: dict[str, dict[int, str]] = {}
    for circuit in system.circuits:
        circuits.setdefault(circuit.fuse.board, {})[circuit.fuse.position] = circuit.id
    ends: dict[str, list[tuple[Path, str]]] = {}
    for index, cable in enumerate(system.cables):
        for key, terminal in (("from", cable.start), ("to", cable.end)):
            owner, _, position = terminal.partition(".")
            ends.setdefault(owner, []).append((("cables", index, key), position))
    for ident, piece in system.equipment.items():
        if (held := piece.positions()) is not None:
            yield from _board_fuses(ident, held, circuits.get(ident, {}), ends.get(ident, []))


def _board_fuses(
    ident: str, board: Positions, circuits: dict[int, str], ends: list[tuple[Path, str]]
) -> Iterator[Fault]:
    """Check the fuses that a board states for cables: their positions exist and are not used by circuits."""
    positions = [str(number) for number in range(1, board.count + 1)]
    for position in board.stated_a:
        path: Path = ("equipment", ident, "fuses", position)
        if position not in positions:
            yield path, _no_position(position, ident, board)
        elif int(position) in circuits:
            yield path, _taken(position, ident, circuits[int(position)])
    for path, position in ends:
        if position in positions and int(position) in circuits:
            yield path, _taken(position, ident, circuits[int(position)])
