"""Making the van safe: isolation steps with the parts still live, emergencies, work by others, winter."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from vandoc.ground.chemistry import Names
from vandoc.ground.figures import stated
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.owner.charge import kinds
from vandoc.pages.manual.owner.start import BatterySummary, store
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import say
from vandoc.pages.manual.trouble.symptoms import choice_of, faults
from vandoc.physics.network import isolation
from vandoc.physics.network.expand import build
from vandoc.physics.network.isolation import HOOK_UP, LiveTerminals
from vandoc.physics.network.positions import turned

FEW_DEVICES = 4


@dataclass(frozen=True)
class LiveItems:
    """Parts kept live by one source: `pieces` names them all, `short` counts the devices."""

    by: str
    kind: str
    pieces: tuple[str, ...]
    short: tuple[str, ...]


@dataclass(frozen=True)
class SafeStep:
    """One step of making the van safe.

    Attributes
    ----------
    act : str
        As in `isolation.Step`.
    names : tuple of str
        Names of the devices that it acts on.
    where : PlaceView or None
        Location of the device to switch.
    dead : tuple of str
        Parts whose last supply this step disconnects.
    left : tuple of LiveItems
        Parts that are still live after it.
    mains : tuple of str
        Parts that may still carry mains voltage after it.
    at_panels : bool
        Whether it disconnects panels and no battery.
    """

    act: str
    names: tuple[str, ...]
    where: PlaceView | None
    dead: tuple[str, ...]
    left: tuple[LiveItems, ...]
    mains: tuple[str, ...]
    at_panels: bool = False


@dataclass(frozen=True)
class Safety:
    """The steps that make this van safe, for the pages and for the card.

    Attributes
    ----------
    acid : bool
        Whether a battery could spill acid.
    burning : tuple of Names
        Chemistries on board that could burn from inside.
    spraying : bool
        Whether one could explode and spray acid.
    unknown : tuple of str
        Chemistries of which it is not known how they burn.
    sticking : tuple of str
        The contacts that close while the engine runs, and may stay closed without it.
    """

    steps: tuple[SafeStep, ...]
    stuck: tuple[LiveItems, ...]
    relays: tuple[str, ...]
    sticking: tuple[str, ...]
    inlet: PlaceView | None
    starters: tuple[PlaceView, ...]
    acid: bool
    burning: tuple[Names, ...]
    spraying: bool
    unknown: tuple[str, ...]

    @property
    def switches(self) -> tuple[SafeStep, ...]:
        """The steps that open a battery isolator or a similar switch."""
        return tuple(step for step in self.steps if step.act == "isolator")

    @property
    def disconnects_a_battery(self) -> bool:
        """Whether a switch is known that opens at a battery, not only at the panels."""
        return any(not step.at_panels for step in self.switches)

    @property
    def urgent(self) -> tuple[SafeStep, ...]:
        """The same with those at the batteries first: in an emergency they matter most."""
        return tuple(sorted(self.switches, key=lambda step: step.at_panels))

    def is_drawn_before(self, number: int) -> bool:
        """Whether the place of an urgent switch, counted from 0, is that of one before it."""
        places = [step.where.id if step.where else "" for step in self.urgent]
        return places[number] in places[:number]

    @property
    def last(self) -> tuple[LiveItems, ...]:
        """Parts that are still live after the last step."""
        return self.steps[-1].left if self.steps else ()

    def acts(self, act: str) -> tuple[SafeStep, ...]:
        """The steps of one kind."""
        return tuple(step for step in self.steps if step.act == act)


def pages(book: Book) -> Iterator[Page]:
    """Yield the pages on making the van safe, emergencies, garages, rescue services and winter."""
    safety = safety_of(book)
    stores = [store(book, ident) for ident in book.leisure]
    view: dict[str, object] = {
        "safety": safety,
        "traits": book.traits,
        "stores": stores,
        "cut_off": tuple(
            dict.fromkeys(
                b.traits.names.family for b in book.leisure.values() if b.traits.management is not False
            )
        ),
        "chemistries": tuple(dict.fromkeys(store.chemistry for store in stores)),
        "base": book.system.van.base,
        "kept": _kept(book),
        "mark": say("emergency.number"),
        "swollen": book.burning,
    }
    still_on = [
        choice_of(book, fault)
        for fault in faults(book)
        if fault.kind == "still-on" and fault.subject in book.isolators
    ]
    safe_only: dict[str, object] = {"still_on": still_on, "turned": _turned(book)}
    yield Page("safe.md", "owner/safe", say("menu.safe"), view | safe_only)
    yield Page("emergency.md", "owner/emergency", say("menu.emergency"), view)
    yield Page("rescue.md", "owner/rescue", say("menu.rescue"), view | _rescue(book, safety, stores))
    yield Page("garage.md", "owner/garage", say("menu.garage"), view)
    yield Page("breakdown.md", "owner/breakdown", say("menu.breakdown"), view)
    yield Page(
        "winter.md", "owner/winter", say("menu.winter"), view | {"kinds": kinds(book), **_winter(book)}
    )


def safety_of(book: Book) -> Safety:
    """Return the steps that make this van safe, found by tracing its wiring."""
    return book.once(_safety_of)


def _safety_of(book: Book) -> Safety:
    system, network = book.system, book.network
    before = isolation.live(system, network, isolation.Condition())
    steps = []
    for step in isolation.steps(system, network):
        steps.append(_step(book, step, before))
        before = step.live
    safest = isolation.safest(system, network)
    stuck = isolation.live(system, network, replace(safest, stuck=True))
    hook_up = system.mains.hook_up if system.mains else None
    batteries = book.pieces(eq.Battery).values()
    chemistries = [battery.traits for battery in batteries]
    return Safety(
        steps=tuple(steps),
        stuck=_fed(book, stuck, besides=isolation.live(system, network, safest)),
        relays=tuple(map(book.name, book.split_charges)),
        sticking=_names(book, (joint.owner for joint in network.joints.values() if joint.with_engine)),
        inlet=book.where(hook_up.where) if hook_up and hook_up.where else None,
        starters=tuple(book.where(b.place) for b in batteries if b.role == "starter"),
        acid=any("acid" in one.hazards for one in chemistries),
        burning=tuple(dict.fromkeys(one.names for one in chemistries if one.fire in (None, "runaway"))),
        spraying=any(one.fire in (None, "acid") for one in chemistries),
        unknown=tuple(dict.fromkeys(one.names.owner for one in chemistries if one.fire is None)),
    )


def _step(book: Book, step: isolation.IsolationStep, before: LiveTerminals) -> SafeStep:
    place = book.place_id(step.pieces[0])
    dead = before.all_pieces - step.live.all_pieces
    return SafeStep(
        act=step.act,
        names=_names(book, step.pieces),
        where=book.where(place) if place else None,
        dead=_names(book, _in_order(book, dead)),
        left=_fed(book, step.live),
        mains=_names(book, step.live.mains),
        at_panels=step.pieces[0] in isolation.panel_isolators(book.system, book.network),
    )


def _fed(book: Book, alive: LiveTerminals, besides: LiveTerminals | None = None) -> tuple[LiveItems, ...]:
    """Parts kept live by each source, without those that are live in `besides` too."""
    found = []
    for origin in alive.terminals:
        pieces = alive.pieces(origin) - (besides.pieces(origin) if besides else frozenset())
        if pieces or besides is None:
            kind = "hook-up" if origin == HOOK_UP else book.system.equipment[origin].kind
            words = say(f"origin.{kind}", name="" if origin == HOOK_UP else book.name(origin))
            found.append(LiveItems(words, kind, _names(book, _in_order(book, pieces)), _short(book, pieces)))
    return tuple(found)


def _short(book: Book, pieces: Iterable[str]) -> tuple[str, ...]:
    equipment = _names(book, _in_order(book, set(pieces) & set(book.system.equipment)))
    devices = _names(book, _in_order(book, set(pieces) & set(book.system.loads)))
    counted = len(devices) > FEW_DEVICES
    return (*equipment, say("devices", count=len(devices))) if counted else (*equipment, *devices)


def _in_order(book: Book, pieces: Iterable[str]) -> list[str]:
    every = [*book.system.equipment, *book.system.loads]
    return sorted(pieces, key=every.index)


def _names(book: Book, idents: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(book.name(ident) for ident in idents))


def _rescue(book: Book, safety: Safety, stores: list[BatterySummary]) -> dict[str, object]:
    batteries = book.pieces(eq.Battery)
    sought = {battery.place for battery in batteries.values()}
    sought |= {piece.place for piece in book.isolators.values()}
    sought |= {piece.place for piece in book.pieces(eq.SolarArray).values()}
    sought |= {piece.place for piece in book.pieces(eq.Inverter).values()}
    if safety.inlet:
        sought.add(safety.inlet.id)
    starters = [
        (book.name(ident), b.traits.names.owner, book.where(b.place))
        for ident, b in batteries.items()
        if b.role == "starter"
    ]
    return {
        "starters": starters,
        "nominal": stated(book.system.van.nominal_v, "V"),
        "arrays": [(book.name(i), book.where(a.place)) for i, a in book.pieces(eq.SolarArray).items()],
        "inverters": [(book.name(i), book.where(p.place)) for i, p in book.pieces(eq.Inverter).items()],
        "gas": [book.where(ident) for ident, place in book.system.places.items() if place.gas_locker],
        "plan": book.plan("plan-rescue", sought, labels=False),
        "plan_text": book.plan_words(sought),
        "stores": stores,
    }


def _winter(book: Book) -> dict[str, object]:
    """Loads that run day and night in winter, and the heated batteries."""
    loads = book.system.loads.values()
    on_all_day = [load for load in loads if load.hours is not None and load.hours.winter_h >= 24]
    return {
        "standing": tuple(dict.fromkeys(load.name for load in on_all_day if not load.kept_live)),
        "by_day": _by_day(book),
        "heated": tuple(book.name(ident) for ident, b in book.leisure.items() if b.heated),
    }


def _by_day(book: Book) -> tuple[str, ...]:
    """Return the boards and devices that panels keep live after the last step, beyond their controller."""
    alive = isolation.live(book.system, book.network, isolation.safest(book.system, book.network))
    panels = {source.owner for source in book.network.sources if source.kind == "solar"}
    own = panels | set(book.isolators) | {source.owner for source in book.network.sources}
    found = {piece for panel in panels for piece in alive.pieces(panel)} - own
    return _short(book, found)


def _turned(book: Book) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """Return what a switch in its other position also keeps live after the last step."""
    system, network = book.system, book.network
    usual = isolation.live(system, network, isolation.safest(system, network)).all_pieces
    found = []
    for ident, piece in system.equipment.items():
        if piece.turned() is not None:
            other = turned(system, ident)
            after = build(other)
            live = isolation.live(other, after, isolation.safest(other, after)).all_pieces - usual
            if live:
                position = other.equipment[ident].in_position()
                found.append((piece.name, position, _names(book, _in_order(book, live))))
    return tuple(found)


def _kept(book: Book) -> tuple[tuple[str, str], ...]:
    """Return the devices kept live on purpose, with the reason, if any source supplies them at the end."""
    alive = isolation.live(book.system, book.network, isolation.safest(book.system, book.network)).all_pieces
    loads = book.system.loads.items()
    return tuple((load.name, load.kept_live) for ident, load in loads if load.kept_live and ident in alive)


__all__ = ["LiveItems", "SafeStep", "Safety", "pages", "safety_of"]
