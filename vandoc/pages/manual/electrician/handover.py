"""The electrician's pages on measurements: the test sheet with results, the torque list, the trends."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis.commissioning import PHASES, Measurement, RecordedReading, judge, measurement_words
from vandoc.analysis.commissioning import say as told
from vandoc.analysis.commissioning.trends import Trend, trends
from vandoc.analysis.commissioning.words import shown
from vandoc.ground.figures import day
from vandoc.ground.measures import value_in_house
from vandoc.pages.diagram.plots import Course, trend_plot, trend_text
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.fitting import alarm_rows, work_rows
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import Markup, clean, say, upper_first

DAYS_A_YEAR = 365.25


@dataclass(frozen=True)
class Row:
    """A row of the test sheet."""

    anchor: str
    id: str
    title: str
    probes: str
    running: str
    expected: str
    band: str
    read: str
    verdict: str
    good: bool


@dataclass(frozen=True)
class Phase:
    """The measurements of one test phase, with the method for each kind."""

    title: str
    intro: str
    methods: tuple[tuple[str, str, str], ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class PlottedTrend:
    """A trend: its plot, the text equivalent, and the statement about the fitted line."""

    title: str
    id: str
    svg: Markup
    twin: tuple[str, ...]
    line: str


def pages(book: Book) -> Iterator[Page]:
    """Yield the handover page and the trends."""
    rows = {ident: _row(book, one) for ident, one in book.van.measurements.items()}
    phases = [_phase(book, phase, rows) for phase in PHASES]
    torques = [rows[i] for i, one in book.van.measurements.items() if one.kind == "torque"]
    verdicts = {ident: _verdict(book, one) for ident, one in book.van.measurements.items()}
    view: dict[str, object] = {
        "phases": [phase for phase in phases if phase.rows],
        "torques": torques,
        "failing": [rows[ident] for ident, verdict in verdicts.items() if verdict in ("low", "high")],
        "open": [rows[ident] for ident, verdict in verdicts.items() if verdict == "unmeasured"],
        "good": sum(verdict == "good" for verdict in verdicts.values()),
        "count": len(verdicts),
        "revision": book.revision,
        "changed": book.changed,
        "alarms": alarm_rows(book),
        "work": work_rows(book),
    }
    yield Page("electrician/handover.md", "electrician/handover", say("menu.handover"), view, searched=False)
    found = trends(book.system, book.van.measurements, book.van.taken)
    plots = [_plotted(book, number, trend) for number, trend in enumerate(found, 1)]
    yield Page("electrician/trends.md", "electrician/trends", say("menu.trends"), {"plots": plots})


def _newest(book: Book, measurement: Measurement) -> RecordedReading | None:
    readings = book.van.taken.get(measurement.id)
    return readings[-1] if readings else None


def _verdict(book: Book, measurement: Measurement) -> str:
    return judge(measurement, _newest(book, measurement))


def _row(book: Book, measurement: Measurement) -> Row:
    reading = _newest(book, measurement)
    wanted = measurement.at(reading.current_a) if reading else measurement
    words = measurement_words(wanted, book.system)
    verdict = judge(measurement, reading)
    read = ""
    if reading is not None:
        at = say("handover.at", amps=shown("current", reading.current_a)) if reading.current_a else ""
        read = say(
            "handover.read",
            value=value_in_house(reading.written) + at,
            day=day(reading.date),
        )
    return Row(
        anchor=measurement.id,
        id=measurement.id,
        title=upper_first(clean(words.title)),
        probes=words.probes,
        running=words.running,
        expected=words.expected,
        band=words.band,
        read=read,
        verdict=say(f"handover.verdict.{verdict}"),
        good=verdict == "good",
    )


def _phase(book: Book, phase: str, rows: dict[str, Row]) -> Phase:
    mine = [one for one in book.van.measurements.values() if one.phase == phase and one.kind != "torque"]
    methods: dict[str, tuple[str, str, str]] = {}
    for one in mine:
        entry = told(f"measurements.{one.kind}.general"), told(f"measurements.{one.kind}.instrument")
        methods.setdefault(one.kind, (*entry, told(f"measurements.{one.kind}.method")))
    return Phase(
        told(f"phases.{phase}.title"),
        told(f"phases.{phase}.intro"),
        tuple(methods.values()),
        tuple(rows[one.id] for one in mine),
    )


def _plotted(book: Book, number: int, trend: Trend) -> PlottedTrend:
    quantity = trend.measurement.quantity
    name = upper_first(clean(measurement_words(trend.measurement, book.system).title))
    course = Course(name, trend.points, trend.line, trend.limit)

    def show(value: float) -> str:
        return shown(quantity, value)

    drawing = trend_plot(f"trend-{number}", course, show)
    slope = trend.line.per_day * DAYS_A_YEAR
    words = say(f"trend.{'falls' if slope < 0 else 'rises'}", slope=show(abs(slope)))
    return PlottedTrend(name, trend.measurement.id, Markup(drawing), tuple(trend_text(course, show)), words)
