"""An analysed van with the look-ups that the pages of its manual share."""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar, cast, get_args

from vandoc.analysis import Van
from vandoc.ground.calc.battery import rest_voltage
from vandoc.ground.chemistry import Hazard
from vandoc.ground.data import constant
from vandoc.ground.errors import Problem, SystemFileError, VandocError
from vandoc.judgement.checks.finding import Finding
from vandoc.judgement.remedy import findings
from vandoc.model import equipment as eq
from vandoc.model.van import Place
from vandoc.pages.diagram.plan import PlanMark, plan_text, plan_view
from vandoc.pages.manual.imprint import Contact, contact_of
from vandoc.pages.manual.pictures import LOGO_PX, publishable
from vandoc.pages.manual.supply import Supply
from vandoc.pages.manual.text import Markup, clean, enumerated, say
from vandoc.physics.energy import Energy
from vandoc.physics.network.graph import FuseLink, owner_of, splits_charge

ALL: frozenset[Hazard] = frozenset(get_args(Hazard))
OF_STARTERS: frozenset[Hazard] = frozenset({"cold", "lithium cold", "fire", "lithium fire"})
Kind = TypeVar("Kind", bound=eq.Piece)
Result = TypeVar("Result")


@dataclass(frozen=True)
class Picture:
    """A picture of the manual: its path and a description of its content."""

    path: str
    alt: str


@dataclass(frozen=True)
class PlaceView:
    """A location as named on the pages, with a plan of the van that marks it."""

    id: str
    label: str
    access: str | None
    plan: Markup
    plan_text: tuple[str, ...]
    picture: Picture | None


class Book:
    """An analysed van with the look-ups that the pages of its manual share."""

    def __init__(self, van: Van) -> None:
        self.van, self.van_file, self.revisions = van, van.van_file, van.revisions or ()
        self.system, self.network, self.sizing = van.system, van.network, van.sizing
        self.supply = Supply(self.system, self.network, self.sizing)
        self._where: dict[str, PlaceView] = {}
        self._kept: dict[Callable[..., Any], Any] = {}

    def once(self, make: "Callable[[Book], Result]") -> Result:
        """Return the result of a function of this book, computed once and cached for all pages."""
        if make not in self._kept:
            self._kept[make] = make(self)
        return cast(Result, self._kept[make])

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of the checks on the van."""
        return findings(self.van)

    @property
    def changed(self) -> bool:
        """Whether the van file differs from the newest archived revision."""
        return self.van.changed

    @property
    def mark(self) -> str | None:
        """The mark of the newest archived revision, such as ``3-ab12cd``; None if none is archived."""
        return self.van.mark

    @property
    def revision(self) -> str:
        """The revision printed on pages: the mark of the newest archived revision, else the file's number.

        A file changed since the last archiving keeps that mark, so that only pages whose content changed
        differ; the electrician's pages say that the changes are not archived.
        """
        return self.mark or str(self.system.van.revision)

    @property
    def revision_in_print(self) -> str:
        """The revision printed on labels: `revision`, with a plus sign if the file has changed since."""
        return f"{self.revision}+" if self.changed else self.revision

    def name(self, ident: str) -> str:
        """Return the owner's name of a device or load; chassis and unknown names are returned as given."""
        thing = self.system.equipment.get(ident) or self.system.loads.get(ident)
        return (clean(thing.name).strip() if thing else "") or ident

    def place_id(self, ident: str) -> str | None:
        """Return the id of the location of an item of equipment or a load, or None if not stated."""
        thing = self.system.equipment.get(ident) or self.system.loads.get(ident)
        return thing.place if thing else None

    def where(self, place_id: str) -> PlaceView:
        """Return the view of a location with the plan that marks it."""
        if place_id not in self._where:
            place = self.system.places[place_id]
            self._where[place_id] = PlaceView(
                place_id,
                clean(place.label).strip() or place_id,
                place.access,
                self.plan(f"plan-{place_id}", {place_id}, labels=False),
                tuple(self.plan_words({place_id})),
                self.picture(place),
            )
        return self._where[place_id]

    def pieces(self, kind: type[Kind]) -> Mapping[str, Kind]:
        """Return the equipment of one class by id, in the order of the file."""
        return self.system.of_kind(kind)

    @property
    def energy(self) -> Energy:
        """The van's energy budget."""
        return self.van.energy

    @cached_property
    def split_charges(self) -> list[str]:
        """The items with a contact that charges the leisure batteries from the starter battery."""
        joints = self.van.network.joints.values()
        return list(dict.fromkeys(joint.owner for joint in joints if splits_charge(joint)))

    @cached_property
    def isolators(self) -> dict[str, eq.Piece]:
        """The items with a contact that is opened to isolate the van, by id."""
        joints = self.network.joints.values()
        return {one.owner: self.system.equipment[one.owner] for one in joints if one.kind == "isolator"}

    @cached_property
    def leisure(self) -> dict[str, eq.Battery]:
        """The leisure batteries by id."""
        return self.system.leisure

    @cached_property
    def guess(self) -> str:
        """What to say where currents rest on figures of a battery that are not known; empty if none do."""
        nominal_v = self.system.van.nominal_v
        names = [
            self.name(ident)
            for ident, battery in self.pieces(eq.Battery).items()
            if not rest_voltage(battery.chemistry, battery.nominal_v or nominal_v, battery.cells)
            or (battery.resistance_ohm is None and battery.traits.internal_resistance_mohm is None)
        ]
        return say("least_favourable", names=enumerated(names)) if names else ""

    @cached_property
    def burning(self) -> str:
        """The families of batteries that could burn from inside, such as "lithium"; empty if none could."""
        fires = (piece.traits for piece in self.pieces(eq.Battery).values())
        return " / ".join(dict.fromkeys(one.names.family for one in fires if one.fire in (None, "runaway")))

    @cached_property
    def traits(self) -> frozenset[str]:
        """The features of the van on which cautions depend."""
        chargers = self.pieces(eq.Charger).values()
        mains = any(charger.source == "mains" for charger in chargers) or bool(
            self.system.mains and self.system.mains.hook_up
        )
        held = {
            "mains": mains,
            "inverter": bool(self.pieces(eq.Inverter)),
            "isolator": bool(self.isolators),
            "solar": bool(self.pieces(eq.SolarArray)),
            "arc": self._highest_v > constant("voltage that keeps an arc").value,
            "documented": self.system.documented is not None,
            "cools-down": any(load.cools_down for load in self.system.loads.values()),
        }
        return frozenset(trait for trait, there in held.items() if there) | self._hazards

    @property
    def _highest_v(self) -> float:
        """The highest nominal voltage of a battery. [V]"""
        usual = self.system.van.nominal_v
        return max((one.nominal_v or usual for one in self.pieces(eq.Battery).values()), default=usual)

    @property
    def _hazards(self) -> frozenset[str]:
        """What the leisure batteries could do; of starter batteries their fire and charging in the cold."""
        found: set[str] = set()
        for battery in self.pieces(eq.Battery).values():
            found |= battery.traits.hazards & (OF_STARTERS if battery.role == "starter" else ALL)
        return frozenset(found)

    @cached_property
    def _spots(self) -> list[PlanMark]:
        return [
            PlanMark(
                ident,
                clean(place.label).strip() or ident,
                place.at.back_m,
                place.at.across_m,
                not place.inside,
            )
            for ident, place in self.system.places.items()
        ]

    def _shown(self, sought: Collection[str], labels: bool) -> list[PlanMark]:
        return self._spots if labels else [spot for spot in self._spots if spot.id in sought]

    def plan(self, ident: str, sought: Collection[str], labels: bool) -> Markup:
        """Return the plan of the van; without labels only the locations sought are named."""
        size = self.system.van.size
        return Markup(plan_view(ident, size.length_m, size.width_m, size.driver, self._spots, sought, labels))

    def plan_words(self, sought: Collection[str], labels: bool = False) -> list[str]:
        """Return the text equivalent of the same plan."""
        size = self.system.van.size
        return plan_text(size.length_m, size.width_m, self._shown(sought, labels), sought)

    @cached_property
    def contact(self) -> Contact:
        """The contact details that the manual prints for help."""
        return contact_of(self.system)

    def served(self, fuse: FuseLink) -> tuple[str, ...]:
        """Return the names of the loads on a fuse's circuit, or of the equipment at the end of its cable."""
        circuits = [
            circuit
            for circuit in self.system.circuits
            if (circuit.fuse.board, circuit.fuse.position) == (fuse.owner, fuse.position)
        ]
        if circuits:
            return tuple(self.name(load) for circuit in circuits for load in circuit.loads)
        ends = [
            c.end if c.start == fuse.end else c.start
            for c in self.network.conductors.values()
            if fuse.end in (c.start, c.end) and not c.signal
        ]
        return tuple(dict.fromkeys(self.name(end.partition(".")[0]) for end in ends))

    @cached_property
    def several_boards(self) -> bool:
        """Whether there are several fuse boards, so that a fuse's number alone is ambiguous."""
        return len(self.pieces(eq.FuseBoard)) > 1

    def fuse_name(self, fuse: FuseLink) -> str:
        """Return the name of a fuse for use within a sentence."""
        if fuse.position is None:
            return self.name(fuse.owner)
        if self.several_boards:
            return say("fuse.short_on", position=fuse.position, board=self.name(fuse.owner))
        return say("fuse.short", position=fuse.position)

    def edge_name(self, ident: str) -> str:
        """Return the name of an element of a path: a cable by its two ends, else the fuse or device."""
        if ident in self.network.conductors:
            cable = self.network.conductors[ident]
            ends = (self.name(owner_of(cable.start)), self.name(owner_of(cable.end)))
            return say("sum.cable", start=ends[0], end=ends[1])
        if ident in self.network.fuses:
            return self.fuse_name(self.network.fuses[ident])
        return self.name(self.network.joints[ident].owner)

    def picture(self, thing: Place | eq.Piece) -> Picture | None:
        """Return the picture of a location or item of equipment, or None if there is none."""
        if thing.picture is None:
            return None
        return Picture(f"pictures/{self._picture_names[thing.picture.file]}", thing.picture.alt)

    @property
    def logo(self) -> Picture | None:
        """The workshop's logo, or None if there is none."""
        found = self.system.house.logo
        return (
            None
            if found is None
            else Picture(f"pictures/workshop{Path(found.file).suffix.lower()}", found.alt)
        )

    @cached_property
    def _picture_names(self) -> dict[str, str]:
        """A neutral name for each picture file; the original may contain anything, even a customer's name."""
        used = dict.fromkeys(file for file, _ in self._picture_places)
        return {file: f"{number}{Path(file).suffix.lower()}" for number, file in enumerate(used, 1)}

    @property
    def _picture_places(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Yield each picture file with the positions in the van file that name it."""
        for section in ("places", "equipment", "loads"):
            for ident, thing in getattr(self.system, section).items():
                if thing.picture:
                    yield thing.picture.file, (section, ident, "picture", "file")

    def pictures(self) -> dict[str, str | bytes]:
        """Return the picture files of the manual, prepared for publication.

        Raises
        ------
        SystemFileError
            If pictures cannot be read; lists each of them.
        """
        root, made, problems = self.van_file.path.parent, dict[str, str | bytes](), []
        places = dict(reversed(list(self._picture_places)))
        for file, name in self._picture_names.items():
            try:
                made[f"pictures/{name}"] = publishable((root / file).read_bytes(), name)
            except VandocError as error:
                trail = places[file]
                message = f"{'.'.join(trail)}: {file!r} {error}"
                problems.append(Problem(self.van_file.locate(trail), message))
        drawn, logo = self.van_file.logo, self.logo
        if drawn is not None and logo is not None:
            try:
                made[logo.path] = publishable(drawn.read_bytes(), logo.path, LOGO_PX)
            except VandocError as error:
                where = self.van_file.locate(("house", "logo", "file"))
                problems.append(Problem(where, f"logo.file: {drawn.name!r} {error}"))
        if problems:
            raise SystemFileError(problems)
        return made
