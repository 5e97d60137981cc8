"""The electrician's summary page, and the pages on locations, mains and records."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis.commissioning import measurement_words
from vandoc.ground.figures import bare, day, stated
from vandoc.ground.measures import value_in_house
from vandoc.judgement.checks.finding import SEVERITIES
from vandoc.judgement.proposals import proposals
from vandoc.model.van import MainsRecord, Reading
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.documented import documentation, measuring_sheet
from vandoc.pages.manual.electrician.findings import path_of_subject
from vandoc.pages.manual.owner.fuses import path_of
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import say, upper_first


@dataclass(frozen=True)
class PlaceRow:
    """A location with the equipment mounted there."""

    ident: str
    where: PlaceView
    hottest: str
    coldest: str
    vent: str
    traits: tuple[str, ...]
    mounted: tuple[str, ...]


def pages(book: Book) -> Iterator[Page]:
    """Yield the summary, and the pages on locations, mains and records."""
    yield Page("electrician/index.md", "electrician/summary", say("menu.electrician"), _summary(book))
    if book.van.unknown:
        yield Page("electrician/measure.md", "electrician/measure", say("menu.measure"), _measure(book))
    yield Page("electrician/places.md", "electrician/places", say("menu.places"), _places(book))
    yield Page("electrician/mains.md", "electrician/mains", say("menu.mains"), _mains(book))
    yield Page("electrician/records.md", "electrician/records", say("menu.records"), _records(book))


def _summary(book: Book) -> dict[str, object]:
    counts = Counter("reviewed" if one.reviewed else one.severity for one in book.findings)
    words = (*SEVERITIES, "reviewed") if counts["reviewed"] else SEVERITIES
    van = book.system.van
    return {
        "traits": book.traits,
        "documented": documentation(book),
        "fails": [one.message for one in book.findings if one.severity == "fail" and not one.acknowledged],
        "counts": [(word, counts[word]) for word in words],
        "van": van.name,
        "base": van.base,
        "nominal": stated(van.nominal_v, "V"),
        "built": van.built,
        "revision": book.revision,
        "basis": van.basis,
        "bases": book.system.house.bases,
        "invented": van.invented,
        "proposed": _proposed(book),
        "sizes": (len(book.sizing.conductors), len(book.sizing.fuses), len(book.system.circuits)),
    }


def _measure(book: Book) -> dict[str, object]:
    return {"sheet": measuring_sheet(book), "revision": book.revision}


def _proposed(book: Book) -> list[tuple[str, str | None, str, str]]:
    """Return the name, the page, the size and the reason of each size that is proposed."""
    rows = []
    for one in proposals(book.van).items:
        fuse = book.network.fuses.get(one.subject)
        name = book.fuse_name(fuse) if fuse else one.subject
        path = path_of(fuse) if fuse else path_of_subject(book, one.subject)
        rows.append((name, path, stated(one.value, one.unit), one.reason))
    return rows


def _places(book: Book) -> dict[str, object]:
    rows = []
    for ident, place in book.system.places.items():
        there = {
            "inside": place.inside,
            "outside": not place.inside,
            "gas_locker": place.gas_locker,
            "engine_space": place.engine_space,
        }
        things = book.system.things
        vent = say("not_stated") if place.vent_cm2 is None else stated(place.vent_cm2, "cm²")
        to = say(f"vents_to.{place.vents_to.replace(' ', '_')}") if place.vents_to else ""
        rows.append(
            PlaceRow(
                ident,
                book.where(ident),
                bare(place.hottest_c, "°C"),
                bare(place.coldest_c, "°C"),
                f"{vent} {to}".strip(),
                tuple(say(f"place.{trait}") for trait, yes in there.items() if yes),
                tuple(book.name(name) for name, thing in things.items() if thing.place == ident),
            )
        )
    return {
        "rows": rows,
        "plan": book.plan("plan-all", (), labels=True),
        "plan_text": book.plan_words((), labels=True),
    }


def _mains(book: Book) -> dict[str, object]:
    mains = book.system.mains
    records = {
        "hook_up": mains.hook_up if mains else None,
        "inverter_output": mains.inverter_output if mains else None,
    }
    return {
        "records": [
            (say(f"mains.{name}"), _record(book, record)) for name, record in records.items() if record
        ],
        "changeover": mains.changeover if mains else None,
        "expected": sorted(book.traits & {"mains", "inverter"}),
    }


def _record(book: Book, record: MainsRecord) -> list[tuple[str, str]]:
    shown = {
        "where": book.where(record.where).label if record.where else None,
        "rcd": record.rcd,
        "protective_device": record.protective_device,
        "neutral_earth_bond": record.neutral_earth_bond,
        "polarity": record.polarity,
        "inspected": day(record.inspected) if record.inspected else None,
        "inspected_by": record.inspected_by,
        "notes": record.notes,
    }
    return [(say(f"mains.{key}"), value or say("not_stated")) for key, value in shown.items()]


def _records(book: Book) -> dict[str, object]:
    return {
        "commissioning": [
            (day(done.date), done.by, [_reading(book, reading) for reading in done.readings])
            for done in sorted(book.system.commissioning, key=lambda done: done.date)
        ],
        "services": [
            (
                day(visit.date),
                visit.by,
                stated(visit.odometer_km, "km") if visit.odometer_km is not None else None,
                [book.name(name) for name in visit.replaced],
                [say(f"done.{task}") for task in visit.done],
                [_reading(book, reading) for reading in visit.readings],
                visit.notes,
            )
            for visit in sorted(book.system.services, key=lambda visit: visit.date)
        ],
    }


def _reading(book: Book, reading: Reading) -> tuple[str, str, str, str]:
    value = value_in_house(reading.value)
    if reading.current_a is not None:
        value = f"{value}{say('handover.at', amps=stated(reading.current_a, 'A'))}"
    measurement = book.van.measurements.get(reading.measure or "")
    what = (
        upper_first(measurement_words(measurement, book.system).title)
        if measurement
        else reading.measure or ""
    )
    at = reading.at or ", ".join(measurement.places if measurement else ())
    return reading.what or what, at, value, reading.note or ""
