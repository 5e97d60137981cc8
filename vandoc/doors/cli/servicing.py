"""The command that records a service: `service`."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, get_args

import click

from vandoc.doors.cli.changing import read_van, save
from vandoc.doors.cli.common import VAN_FILE, stop
from vandoc.doors.cli.prompting import Prompter, prompting
from vandoc.doors.cli.recording import archive, day_of, name_of, take
from vandoc.doors.cli.sizing import all_stated
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.ground.measures import measure

if TYPE_CHECKING:
    from vandoc.analysis import Van
    from vandoc.reading.editing import Draft

SAVED_KEY = "service"  # journal key which shows that the service itself is saved in the file


@dataclass(frozen=True)
class _Service:
    """Answers about a service, and the draft with the new values."""

    day: date
    by: str
    odometer: str | None
    replaced: list[str]
    done: list[str]
    notes: str | None
    why: str
    draft: "Draft"


@click.command(help=tell("help.service"))
@click.argument("file", type=VAN_FILE, metavar="FILE")
def service(file: Path) -> None:
    """Record a service in FILE and archive the revision."""
    from vandoc.analysis.commissioning.trends import KINDS_WITH_TREND
    from vandoc.doors.recording import ask_next, say

    try:
        all_stated(file)
        van, draft = read_van(file)
        with prompting(file, "service", {}) as dialogue:
            visit = _ask(dialogue, file, van, draft)
            draft = _save(dialogue, file, draft, visit)
            click.echo(say("service.saved"))
            van, draft = read_van(file, draft)
            asked = [
                one
                for one in ask_next(van.measurements, van.taken, every=True)
                if one.measurement.kind in KINDS_WITH_TREND
                and one.measurement.id in van.taken
                and not dialogue.journal.skipped(name_of(one))
            ]
            if asked:
                click.echo(say("service.readings"))
                take(dialogue, asked, van, file, draft, "services", visit.day, visit.by, set())
            archive(file, visit.why, visit.day, resumed=dialogue.journal.resumed)
    except (VandocError, ValueError) as error:
        stop(str(error))


def _ask(dialogue: Prompter, file: Path, van: "Van", draft: "Draft") -> _Service:
    from vandoc.doors.recording import field, in_unit, say
    from vandoc.model.van import Service
    from vandoc.reading.archive import one_line

    def optional(attribute: str, text: str) -> str | None:
        return field(Service, attribute, text) if text else None

    ask, today = dialogue.ask, date.today().isoformat()
    day = ask("date", say("service.date"), lambda text: day_of(text, van), today)
    by = ask(
        "by", say("service.by"), lambda text: field(Service, "by", _line(text)), van.system.workshop.name
    )
    odometer = ask(
        "odometer", say("service.odometer"), lambda t: optional("odometer_km", in_unit(t, measure("km")))
    )
    replaced, draft = _replaced(dialogue, file, van, draft)
    done = list(_done(dialogue))
    notes = ask("notes", say("service.notes"), lambda text: optional("notes", _line(text)))
    usual = say("service.usual_replaced", names=", ".join(replaced)) if replaced else say("service.usual")
    why = ask("why", say("service.why"), one_line, usual)
    return _Service(day, by, odometer, replaced, done, notes, why, draft)


def _replaced(dialogue: Prompter, file: Path, van: "Van", draft: "Draft") -> tuple[list[str], "Draft"]:
    """Prompt for replaced parts and their new values; return the names and the changed draft."""
    from vandoc.doors.recording import as_written, say, settable, with_value
    from vandoc.reading.loader import load

    names: list[str] = []

    def changed_by(name: str, text: str) -> "Draft | None":
        if not text:
            return None
        trial = with_value(draft, van.system, name, *as_written(text))
        try:
            load(file, text=trial.text)
        except SystemFileError as error:
            raise ValueError("; ".join(problem.message for problem in error.problems)) from error
        return trial

    question = say("service.replaced")
    while name := dialogue.ask("replaced", question, lambda text: text and settable(van.system, text)):
        names.append(name)
        value = say("service.value", name=name, example="rating: 10 A")
        while changed := dialogue.ask(f"value.{name}", value, partial(changed_by, name)):
            draft = changed
    return names, draft


def _done(dialogue: Prompter) -> Iterator[str]:
    from vandoc.doors.recording import say
    from vandoc.model.van import Task

    tasks = get_args(Task)

    def task(text: str) -> str:
        if text and text not in tasks:
            raise ValueError(say("refuse.task", task=text))
        return text

    while answer := dialogue.ask("done", say("service.done", tasks=", ".join(tasks)), task):
        yield answer


def _save(dialogue: Prompter, file: Path, draft: "Draft", visit: _Service) -> "Draft":
    """Write the service into the file, unless an interrupted run has done so."""
    from vandoc.doors.recording import add_service, has_service

    entry = (visit.day, visit.by, visit.odometer, visit.replaced, visit.done, visit.notes)
    journal = dialogue.journal
    tried = journal.take("trying") is not None
    if journal.saved(SAVED_KEY) or (tried and has_service(draft, *entry)):
        after = draft
    else:
        journal.keep("trying", SAVED_KEY)
        after = save(file, draft, add_service(visit.draft, *entry))
    journal.mark_saved(SAVED_KEY)
    return after


def _line(text: str) -> str:
    return " ".join(text.split())
