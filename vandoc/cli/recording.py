"""The commands that enter readings and services into a van file: `record` and `service`."""

from collections.abc import Callable, Iterable
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, get_args

import click

from vandoc.cli.common import VAN_FILE, stop
from vandoc.errors import SystemFileError, VandocError

if TYPE_CHECKING:
    from vandoc.checks.case import Case
    from vandoc.editing import Draft
    from vandoc.recording import Asked

Answer = TypeVar("Answer")


class _StoppedError(Exception):
    """Somebody answered that it is enough."""


@click.command()
@click.argument("file", type=VAN_FILE, metavar="FILE")
@click.option("--date", "day", help="Date of the readings (default: today).")
@click.option("--by", help="Name of the workshop (default: the one in FILE).")
@click.option("--all", "every", is_flag=True, help="Also prompt for measurements already taken.")
def record(file: Path, day: str | None, by: str | None, every: bool) -> None:
    """Prompt for each measurement in turn and save the readings in FILE.

    Measurements are listed in the order in which to take them. Each is saved before the next prompt.
    """
    from vandoc.recording import ask_next, say

    try:
        case, draft = read_case(file)
        when = day_of(day or date.today().isoformat(), case)
        workshop = by or case.system.workshop.name
        asked = list(ask_next(case.measurements, case.taken, every=every))
        if not asked:
            click.echo(say("record.none"))
            return
        count = len(case.measurements)
        click.echo(say("record.start", open=len(asked), all=count))
        saved = _take(asked, case, draft, "commissioning", when, workshop)
        left = sum(one not in saved and one not in case.taken for one in case.measurements)
        click.echo(say("record.end", taken=len(saved), open=left, all=count))
    except VandocError as error:
        stop(str(error))
    except ValueError as error:
        stop(str(error))


@click.command()
@click.argument("file", type=VAN_FILE, metavar="FILE")
def service(file: Path) -> None:
    """Record a service in FILE and archive the revision.

    Replaced parts update the file. Nothing is written until the service entry is complete;
    then each reading is saved before the next prompt.
    """
    from vandoc.commissioning.trends import FOLLOWED
    from vandoc.loader import load
    from vandoc.model.van import Task
    from vandoc.recording import add_service, as_written, ask_next, say, settable, with_value

    try:
        case, draft = read_case(file)
        system = case.system
        today = date.today().isoformat()
        when = _ask(say("service.date"), lambda text: day_of(text, case), today)
        by = _ask(say("service.by"), _line, system.workshop.name)
        odometer = _ask(say("service.odometer"), _odometer, "")
        replaced: list[str] = []
        changed = draft
        while name := _ask(say("service.replaced"), lambda text: text and settable(system, text), ""):
            replaced.append(name)
            question = say("service.value", name=name, example="rating: 10 A")
            while pair := _ask(question, lambda text: as_written(text) if text else None, ""):
                changed = with_value(changed, system, name, *pair)
        tasks = get_args(Task)
        done: list[str] = []
        while task := _ask(say("service.done", tasks=", ".join(tasks)), lambda t: t and _task(t, tasks), ""):
            done.append(task)
        notes = _ask(say("service.notes"), _line, "")
        usual = say("service.usual_replaced", names=", ".join(replaced)) if replaced else say("service.usual")
        why = _ask(say("service.why"), _line, usual)
        changed = add_service(changed, when, by, odometer or None, replaced, done, notes)
        load(file, text=changed.text)  # what is not sound is not written
        draft = _save(changed)
        click.echo(say("service.saved"))
        case, draft = read_case(file, draft)
        asked = [
            one
            for one in ask_next(case.measurements, case.taken, every=True)
            if one.measurement.kind in FOLLOWED and one.measurement.id in case.taken
        ]
        if asked:
            click.echo(say("service.readings"))
            _take(asked, case, draft, "services", when, by)
        archive(file, why, when)
    except VandocError as error:
        stop(str(error))


def read_case(file: Path, draft: "Draft | None" = None) -> "tuple[Case, Draft]":
    """Read a van file to change it; what it says and what is changed are the same text."""
    from vandoc import editing
    from vandoc.archive import revisions
    from vandoc.checks.case import Case
    from vandoc.energy import complete
    from vandoc.loader import load
    from vandoc.network.expand import build
    from vandoc.sizing import size

    draft = editing.read(file) if draft is None else draft
    van_file = load(file, text=draft.text)
    revisions(van_file)
    system = complete(van_file.system)
    network = build(system)
    return Case(system, network, size(system, network)), draft


def _take(
    asked: "Iterable[Asked]", case: "Case", draft: "Draft", section: str, day: date, by: str
) -> set[str]:
    """Ask for readings and save each; return the names of those that were taken."""
    from vandoc.commissioning import named
    from vandoc.commissioning import say as told
    from vandoc.commissioning.words import shown
    from vandoc.recording import add_reading, say
    from vandoc.units import number_in

    phase, kind, saved = "", "", set()
    try:
        for one in asked:
            measurement = one.measurement
            if measurement.phase != phase:
                phase = measurement.phase
                click.echo(f"\n{told(f'phases.{phase}.title')}\n{told(f'phases.{phase}.intro')}")
            words = named(measurement, case.system)
            click.echo(f"\n{words.title} [{measurement.id}]")
            how = (words.instrument, words.method) if measurement.kind != kind else ()
            kind = measurement.kind
            for line in filter(None, (*how, words.probes, words.running)):
                click.echo(f"  {line}")
            if words.expected or words.band:
                click.echo(f"  {' · '.join(filter(None, (words.expected, words.band)))}")
            value = _ask(f"  {say('record.value')}", partial(_value, read=one.read), "")
            if not value:
                continue
            current = ""
            if measurement.amps_a is not None:
                usual = shown("current", measurement.amps_a)
                question = f"  {say('record.amps', amps=usual)}"
                current = _ask(question, lambda text: _value(text, lambda t: number_in("current", t)), "")
            draft = _save(add_reading(draft, section, day, by, measurement.id, value, current or None))
            saved.add(measurement.id)
            amps = number_in("current", current) if current else None
            verdict = one.verdict(one.read(value), amps, day)
            click.echo(say("record.saved", value=value, verdict=verdict))
    except (_StoppedError, click.Abort):
        click.echo()
    return saved


def _save(draft: "Draft") -> "Draft":
    from vandoc import editing

    return editing.save(draft)


def archive(file: Path, why: str, day: date) -> None:
    from vandoc.archive import keep
    from vandoc.recording import say

    try:
        kept = keep(file, why, day)
    except SystemFileError:
        raise
    except VandocError as error:
        raise VandocError(say("unarchived", reason=error)) from error
    click.echo(say("revision", mark=kept.mark, folder=kept.path.parent))


def _ask(question: str, read: Callable[[str], Answer], default: str) -> Answer:
    """Ask until the answer can be read; `stop` ends the asking where it is taken for an answer."""

    def value_of(text: str) -> Any:
        try:
            return read(text.strip())
        except ValueError as error:
            raise click.UsageError(str(error)) from error

    answer: Answer = click.prompt(question, default=default, show_default=bool(default), value_proc=value_of)
    return answer


def _value(text: str, read: Callable[[str], object]) -> str:
    from vandoc.recording import say

    if text.casefold() == say("stop"):
        raise _StoppedError
    if text:
        read(text)
    return text


def day_of(text: str, case: "Case") -> date:
    from vandoc.recording import say

    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise ValueError(say("refuse.day", text=text)) from error
    built = case.system.van.built
    if day > date.today():
        raise ValueError(say("refuse.future", day=day))
    if built is not None and day < built:
        raise ValueError(say("refuse.before", day=day, built=built))
    return day


def _odometer(text: str) -> str:
    from vandoc.units import number_in

    if text:
        number_in("distance", text)
    return text


def _task(text: str, tasks: tuple[str, ...]) -> str:
    from vandoc.recording import say

    if text not in tasks:
        raise ValueError(say("refuse.task", task=text))
    return text


def _line(text: str) -> str:
    return " ".join(text.split())
