"""Each alarm has its place and expiry date, is in date, and its sensor was tested."""

from collections.abc import Iterator
from datetime import date

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.model.fitting import Alarm
from vandoc.model.references import Path as Trail

ASKED = ("position", "standard", "replace_by", "tested", "tested_with")


@rule(
    review("alarm-record-incomplete"),
    review("alarm-past-date"),
    review("alarm-sounder-only"),
    review("alarm-badly-placed"),
)
def alarm_record(van: Van) -> Iterator[Breach]:
    """Each alarm has its place and expiry date, is in date, and its sensor was tested."""
    last = newest_day(van)
    for number, alarm in enumerate(van.system.alarms):
        trail: Trail = ("alarms", number)
        words: dict[str, Word] = {"of": alarm.detects, "place": van.system.places[alarm.place].label}
        missing = [key for key in ASKED if getattr(alarm, key) is None]
        if missing:
            said = words | {"missing": "', '".join(missing)}
            yield Breach("alarm-record-incomplete", "alarms", trail, said)
        if alarm.replace_by is not None and last is not None and alarm.replace_by <= last:
            said = words | {"day": alarm.replace_by.isoformat(), "last": last.isoformat()}
            yield Breach("alarm-past-date", "alarms", (*trail, "replace_by"), said)
        if alarm.tested_with == "button":
            yield Breach("alarm-sounder-only", "alarms", (*trail, "tested_with"), words)
        yield from _misplaced(alarm, trail, words)


def _misplaced(alarm: Alarm, trail: Trail, words: dict[str, Word]) -> Iterator[Breach]:
    """Yield a height or a distance at which an alarm of its kind would sound late."""
    least, most = constant("least distance of alarm").value, constant("largest distance of alarm").value
    low, high = constant("largest height of gas alarm").value, constant("least height of smoke alarm").value
    found = {
        "height": (alarm.height_m, 0.0, low) if alarm.detects == "gas" else (None, 0.0, 0.0),
        "from_burner": (alarm.from_burner_m, least, most)
        if alarm.detects == "carbon monoxide"
        else (None, 0.0, 0.0),
    }
    if alarm.detects == "smoke":
        found["height"] = (alarm.height_m, high, float("inf"))
    for key, (metres, fewest, greatest) in found.items():
        if metres is not None and not fewest <= metres <= greatest:
            limit = Amount(fewest if metres < fewest else greatest, "m")
            said = words | {"key": key}
            yield Breach("alarm-badly-placed", "alarms", (*trail, key), said, Amount(metres, "m"), limit)


def newest_day(van: Van) -> date | None:
    """Return the newest day on which the van was worked on, by its file."""
    system = van.system
    done = [visit.date for visit in system.commissioning] + [visit.date for visit in system.services]
    tested = [alarm.tested for alarm in system.alarms if alarm.tested is not None]
    return max(done + tested, default=None)
