"""Expansion of a system to its graph; circuits (the short form) become cables here."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import fsum

from vandoc.ground.calc.conductor import awg_area_mm2, size_name
from vandoc.ground.data import constant
from vandoc.model import equipment as eq
from vandoc.model.references import Path as Trail
from vandoc.model.system import CompletedSystem
from vandoc.model.traits import CHASSIS, MakersFuse
from vandoc.model.wiring import Circuit, Load, Run
from vandoc.physics.network.circuits import cores, plain_joins
from vandoc.physics.network.graph import (
    Conductor,
    Consumer,
    FuseLink,
    Joint,
    Network,
    Source,
)


def area_in_mm2(area: float | str | None) -> float | None:
    """Return a cross-section of the model (mm², or a gauge such as ``"2 AWG"``) in mm²."""
    return awg_area_mm2(area.removesuffix(" AWG")) if isinstance(area, str) else area


def load_current(load: Load, nominal_v: float) -> float:
    """Return the total current of a load, its count included, at nominal voltage. [A]"""
    each = (
        load.current_a
        if load.current_a is not None
        else (load.power_w or 0.0) / (load.nominal_v or nominal_v)
    )
    return each * load.count


def build(system: CompletedSystem) -> Network:
    """Build the graph of a system."""
    return _Builder(system).network()


class _Builder:
    def __init__(self, system: CompletedSystem) -> None:
        self.system = system
        self.conductors: dict[str, Conductor] = {}
        self.joints: dict[str, Joint] = {}
        self.fuses: dict[str, FuseLink] = {}
        self.sources: list[Source] = []
        self.consumers: list[Consumer] = []
        self.panel_inputs: list[Consumer] = []
        self.places: dict[str, str] = {}

    def network(self) -> Network:
        system = self.system
        for ident, piece in system.equipment.items():
            for terminal in eq.full_terminals(ident, piece):
                self.places[terminal] = piece.place
        for ident, load in system.loads.items():
            for terminal in load.terminals():
                self.places[f"{ident}.{terminal}"] = load.place
        for index in range(len(system.cables)):
            self._cable(index)
        for index, circuit in enumerate(system.circuits):
            self._circuit(index, circuit)
        for ident, piece in system.equipment.items():
            self._piece(ident, piece)
        for ident, load in system.loads.items():
            volts = load.nominal_v or system.van.nominal_v
            amps = load_current(load, system.van.nominal_v)
            self.consumers.append(Consumer(ident, "load", f"{ident}.+", f"{ident}.-", volts, amps))
        network = Network(
            self.conductors,
            self.joints,
            self.fuses,
            tuple(self.sources),
            tuple(self.consumers),
            self.places,
        )
        return replace(network, consumers=(*network.consumers, *self._panel_inputs(network)))

    def _panel_inputs(self, network: Network) -> Iterator[Consumer]:
        """Yield the inputs that take from panels, with the total current of the panels connected to each."""
        for consumer in self.panel_inputs:
            reached = network.joined(consumer.plus)
            panels = [s for s in network.sources if s.kind == "solar" and s.plus in reached]
            strings = [network.string(source) for source in panels]
            amps = fsum(min(source.limit_a or 0.0 for source in string) for string in strings)
            volts = fsum(s.nominal_v for s in strings[0]) if strings else consumer.nominal_v
            yield replace(consumer, nominal_v=volts, amps_a=amps)

    def _run(
        self, runs: Sequence[Run], start: str, end: str, between: Iterable[str] = ()
    ) -> dict[str, object]:
        """Return how a core lies; one that lies in several runs is as badly off as in the worst of them."""
        ends = [self.places[node] for node in (start, end) if node in self.places]
        along = [self.system.things[ident].place for ident in between]
        along += [place for run in runs for place in run.through]
        defaults = self.system.cable_defaults
        buried = [defaults.buried_m if run.buried_m is None else run.buried_m for run in runs]
        known = [length for length in buried if length is not None]
        return {
            "start": start,
            "end": end,
            "insulation_c": min(
                defaults.insulation_c if run.insulation_c is None else run.insulation_c for run in runs
            ),
            "bunched": max(run.bunched or defaults.bunched for run in runs),
            "places": tuple(dict.fromkeys([*ends[:1], *along, *ends[1:]])),
            "sheathed": all(run.sheathed or bool(run.conduit) for run in runs),
            "conduit": any(run.sheathed if run.conduit is None else run.conduit for run in runs),
            "buried_m": max(known) if len(known) == len(buried) else None,
            "metal": next((run.metal for run in runs if run.metal == "bare"), runs[0].metal),
        }

    def _cable(self, index: int) -> None:
        cable = self.system.cables[index]
        ident = cable.id or self._free_name(f"{cable.start} to {cable.end}")
        self.conductors[ident] = Conductor(
            id=ident,
            trail=("cables", index),
            torque_nm=cable.torque_nm,
            vehicle=cable.vehicle,
            signal=cable.signal,
            colour=cable.colour,
            length_m=cable.length_m,
            run=("cables", index),
            **_area(cable.area_mm2),  # type: ignore[arg-type]
            **self._run((cable,), cable.start, cable.end),  # type: ignore[arg-type]
        )
        for terminal in (cable.start, cable.end):
            owner, _, position = terminal.partition(".")
            piece = self.system.equipment.get(owner)
            held = piece.positions() if piece is not None else None
            if held is not None and position != held.feed:
                trail: Trail = ("equipment", owner, "fuses", position)
                self._board_fuse(owner, int(position), held.stated_a.get(position), trail)

    def _free_name(self, wanted: str) -> str:
        name, number = wanted, 2
        while name in self.conductors:
            name, number = f"{wanted} ({number})", number + 1
        return name

    def _circuit(self, index: int, circuit: Circuit) -> None:
        position = circuit.fuse.position
        self._board_fuse(circuit.fuse.board, position, circuit.fuse.rating_a, ("circuits", index, "fuse"))
        for name, start, end, owner in plain_joins(self.system, circuit):
            self.joints[name] = Joint(name, start, end, "common", owner)
        for core in cores(self.system, index):
            ident = self._free_name(core.id)
            self.conductors[ident] = Conductor(
                id=ident,
                trail=core.trail,
                run=core.run_trail,
                circuit=circuit.id,
                role=core.role,
                leg=core.leg,
                length_m=core.length_m,
                colour=core.runs[0].colour if core.role == "supply" else None,
                **_area(core.area),  # type: ignore[arg-type]
                **self._run(core.runs, core.start, core.end, core.between),  # type: ignore[arg-type]
            )

    def _board_fuse(self, board_id: str, position: int, rating_a: float | None, trail: Trail) -> None:
        held = self.system.equipment[board_id].positions()
        assert held is not None
        ident, feed = f"{board_id}.{position}", f"{board_id}.{held.feed}"
        self.fuses[ident] = FuseLink(
            ident,
            feed,
            ident,
            board_id,
            position,
            held.family,
            rating_a,
            held.voltage_v,
            None,
            trail,
            held.states_of(position),
        )

    def _piece(self, ident: str, piece: eq.Piece) -> None:
        def at(terminal: str) -> str:
            return f"{ident}.{terminal}" if terminal else ident

        volts = self.system.van.nominal_v
        supplies, draws, protects = piece.supplies(volts), piece.draws(volts), piece.protects()
        if supplies is not None:
            inlet = None if supplies.inlet is None else at(supplies.inlet)
            self.sources.append(
                Source(
                    ident,
                    supplies.kind,
                    at(supplies.plus),
                    at(supplies.minus),
                    supplies.nominal_v,
                    supplies.limit_a,
                    supplies.charges_from,
                    supplies.set_v,
                    inlet,
                    supplies.waits_for_engine,
                    supplies.best_a,
                    supplies.short_circuit_a,
                )
            )
        if draws is not None:
            amps = draws.amps_a
            if draws.output_w is not None:
                amps = draws.output_w / efficiency_of(piece) / draws.nominal_v
            consumer = Consumer(ident, draws.kind, at(draws.plus), at(draws.minus), draws.nominal_v, amps)
            (self.panel_inputs if draws.from_panels else self.consumers).append(consumer)
        for join in piece.joins():
            if not (join.unless_cabled and self._is_cabled(at(join.start))):
                name, end = f"{ident} {join.kind}", CHASSIS if join.end == CHASSIS else at(join.end)
                self.joints[name] = Joint(
                    name,
                    at(join.start),
                    end,
                    join.kind,
                    ident,
                    join.with_engine,
                    join.ohm,
                    join.joins_batteries,
                )
        if protects is not None:
            self.fuses[ident] = FuseLink(
                ident,
                at(protects.start),
                at(protects.end),
                ident,
                None,
                protects.family,
                protects.rating_a,
                protects.voltage_v,
                protects.breaking_a,
                ("equipment", ident),
                protects.by_maker or MakersFuse(),
            )

    def _is_cabled(self, terminal: str) -> bool:
        return any(terminal in (cable.start, cable.end) for cable in self.system.cables)


def efficiency_of(piece: eq.Piece) -> float:
    """Return the stated efficiency, or else the usual one. [1]"""
    stated = getattr(piece, "efficiency_percent", None)
    return float(constant(piece.usual_efficiency).value if stated is None else stated / 100)


def _area(area: float | str | None) -> dict[str, object]:
    """Return the cross-section in mm² and as written in the file."""
    number = area_in_mm2(area)
    size = area if isinstance(area, str) else "" if area is None else size_name(area)
    return {"area_mm2": number, "size": size}
