"""The owner's pages: start, make it safe, something has stopped, living with it, cautions."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from vandoc.ground.figures import stated
from vandoc.ground.messages import Messages
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.documented import documentation
from vandoc.pages.manual.fuse_looks import BLADES, FuseLook, body_of
from vandoc.pages.manual.imprint import last_day
from vandoc.pages.manual.owner.fuses import next_fuse, path_of
from vandoc.pages.manual.owner.upkeep import soonest
from vandoc.pages.manual.page import CAUTIONS, Page
from vandoc.pages.manual.since import since
from vandoc.pages.manual.text import say
from vandoc.physics.network.graph import FuseLink

SYNONYMS = Messages("vandoc.pages.manual", "synonyms")


@dataclass(frozen=True)
class BatterySummary:
    """A leisure battery as described to the owner."""

    name: str
    chemistry: str
    capacity: str
    volts: str
    where: PlaceView


@dataclass(frozen=True)
class Switch:
    """A battery isolator: its name and location."""

    name: str
    where: PlaceView


@dataclass(frozen=True)
class DeviceChoice:
    """A device that can stop working, and the page of its fuse."""

    path: str
    word: str
    hint: str
    mark: str
    found_by: str = ""


@dataclass(frozen=True)
class VanSummary:
    """The equipment of the van, for the start page and the page on daily use."""

    name: str
    base: str | None
    nominal: str
    batteries: tuple[BatterySummary, ...]
    driving: bool
    sun: str | None
    mains: bool
    inverter: str | None
    loads: int
    invented: bool


def pages(book: Book) -> Iterator[Page]:
    """Yield the start page, the pages on stopped devices and on care, and the cautions."""
    have = _have(book)
    switches = _switches(book)
    places = {"plan": book.plan("plan-all", (), labels=True), "plan_text": book.plan_words((), labels=True)}
    yield Page(
        "index.md",
        "owner/index",
        say("menu.start"),
        {
            "have": have,
            "switches": switches,
            "mark": book.mark,
            "since": since(book),
            "passed": soonest(book),
            "documented": documentation(book),
            **places,
        },
        scripts=("revision", "dates") if book.mark else ("dates",),
    )
    yield Page(
        "stopped.md", "owner/stopped", say("menu.stopped"), _stopped(book, switches), scripts=("find",)
    )
    yield Page("care.md", "owner/care", say("menu.care"), _care(book, have))
    yield Page("cautions.md", "owner/cautions", say("menu.cautions"), {"names": cautions(book)})


def cautions(book: Book) -> list[str]:
    """Return the keys of the cautions that apply to this van."""
    every = CAUTIONS.tree.items()
    return [name for name, entry in every if "when" not in entry or entry["when"] in book.traits]


def _have(book: Book) -> VanSummary:
    system = book.system
    inverters = book.pieces(eq.Inverter).values()
    panels_w = sum(array.total_w for array in book.pieces(eq.SolarArray).values())
    chargers = book.pieces(eq.Charger).values()
    return VanSummary(
        name=system.van.name,
        base=system.van.base,
        nominal=stated(system.van.nominal_v, "V"),
        batteries=tuple(store(book, ident) for ident in book.leisure),
        driving=any(c.source == "alternator" for c in chargers) or bool(book.split_charges),
        sun=stated(panels_w, "W") if panels_w else None,
        mains="mains" in book.traits,
        inverter=stated(sum(i.power_w for i in inverters), "W") if inverters else None,
        loads=len(system.loads),
        invented=system.van.invented,
    )


def store(book: Book, ident: str) -> BatterySummary:
    """Return the owner's summary of a leisure battery."""
    battery = book.leisure[ident]
    return BatterySummary(
        book.name(ident),
        battery.traits.names.owner,
        _marked(stated(battery.capacity_ah, "Ah"), battery),
        stated(battery.nominal_v or book.system.van.nominal_v, "V"),
        book.where(battery.place),
    )


def _marked(size: str, piece: eq.Sizable) -> str:
    """Return a size, marked if it is proposed."""
    return say("proposed", value=size) if piece.proposed else size


def _switches(book: Book) -> list[Switch]:
    return [Switch(book.name(ident), book.where(piece.place)) for ident, piece in book.isolators.items()]


def _stopped(book: Book, switches: list[Switch]) -> dict[str, object]:
    choices = [choice for ident in book.system.loads for choice in _choices(book, ident)]
    return {
        "choices": sorted(choices, key=lambda choice: (choice.word.casefold(), choice.hint.casefold())),
        "devices": device_choices(book),
        "switches": switches,
        "first": [next_fuse(book, fuse) for fuse in book.supply.fuses_of_everything],
        "monitors": [
            Switch(book.name(ident), book.where(piece.place))
            for ident, piece in book.pieces(eq.Monitor).items()
        ],
    }


def device_choices(book: Book) -> list[DeviceChoice]:
    """Return the fuses of chargers and other devices, by name."""
    found = [choice for ident in book.system.equipment for choice in _device(book, ident)]
    return sorted(found, key=lambda choice: choice.word.casefold())


def _choices(book: Book, ident: str) -> Iterator[DeviceChoice]:
    load = book.system.loads[ident]
    fuses = book.supply.fuses_towards(f"{ident}.+")
    path, mark = (path_of(fuses[0]), _mark(fuses[0])) if fuses else ("stopped.md#none", say("fuse.none"))
    name = book.name(ident)
    yield DeviceChoice(path, name, book.where(load.place).label, mark, synonyms(name, *load.words))
    for word in load.words:
        if word.casefold() != name.casefold():
            yield DeviceChoice(path, word, name, mark, synonyms(word, name))


def synonyms(*words: str) -> str:
    """Return words with their synonyms, for the search field of a list.

    Examples
    --------
    >>> "tap" in synonyms("water pump").split()
    True
    >>> synonyms("thing")
    'thing'
    """
    said = set(" ".join(words).casefold().replace(",", " ").split())
    groups = [group for group in SYNONYMS.tree if said & set(group)]
    return " ".join(dict.fromkeys((*sorted(said), *(word for group in groups for word in group))))


def _mark(fuse: FuseLink) -> str:
    return say("fuse.single") if fuse.position is None else say("fuse.mark", position=fuse.position)


def _device(book: Book, ident: str) -> Iterator[DeviceChoice]:
    """The fuses of an inverter, charger, converter or monitor, and fuses in separate holders."""
    piece = book.system.equipment[ident]
    where = book.where(piece.place).label
    fuses: tuple[FuseLink, ...] = ()
    if piece.protects() is not None:
        fuses = (book.network.fuses[ident],)
    draws = next((one for one in book.network.consumers if one.owner == ident), None)
    source = next((one for one in book.network.sources if one.owner == ident), None)
    if draws is not None and (source is None or source.charges_from != "solar"):
        fuses = (*fuses, *book.supply.fuses_towards(draws.plus)[:1])
    if source is not None and source.kind == "charger":
        fuses = (*fuses, *book.supply.fuses_to_battery(source.plus)[:1])
    for fuse in dict.fromkeys(fuses):
        hint = where if len(set(fuses)) == 1 else next_fuse(book, fuse).where
        yield DeviceChoice(path_of(fuse), book.name(ident), hint, _mark(fuse), synonyms(book.name(ident)))


def _care(book: Book, have: VanSummary) -> dict[str, object]:
    services = sorted(book.system.services, key=lambda service: service.date)
    return {
        "have": have,
        "spares": spares(book),
        "last": last_day(book.system),
        "service": services[-1] if services else None,
        "revision": book.revision,
        "code": book.system.van.published,
    }


def spares(book: Book) -> list[tuple[FuseLook, int]]:
    """Return the types of fuse that the owner may replace, each with the number in use."""
    bodies = [body_of(book, fuse) for fuse in book.network.fuses.values() if fuse.family in BLADES]
    counts = Counter(replace(body, proposed=False) for body in bodies)
    return sorted(counts.items(), key=lambda entry: (entry[0].looks, entry[0].rating_a))
