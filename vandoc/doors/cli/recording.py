"""The command that enters readings into a van file, `record`, and what it shares with `service`."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from vandoc.doors.cli.changing import read_van, save
from vandoc.doors.cli.common import SEPARATOR, VAN_FILE, character_of, refuse, stop
from vandoc.doors.cli.finding_out import record_unknowns
from vandoc.doors.cli.metering import headings_of, record_table
from vandoc.doors.cli.prompting import Prompter, StoppedError, prompting
from vandoc.doors.cli.words import tell
from vandoc.doors.cli.working import record_work
from vandoc.ground.errors import SystemFileError, VandocError

if TYPE_CHECKING:
    from vandoc.analysis import Van
    from vandoc.doors.recording import MeasurementPrompt
    from vandoc.reading.editing import Draft


@click.command(help=tell("help.record"))
@click.argument("file", type=VAN_FILE, metavar="FILE")
@click.option("--date", "day", help=tell("recording.date_readings_default"))
@click.option("--by", help=tell("recording.name_workshop_default"))
@click.option("--all", "every", is_flag=True, help=tell("recording.also_prompt"))
@click.option("--work", is_flag=True, help=tell("recording.prompt_tests_alarms"))
@click.option("--unknown", is_flag=True, help=tell("recording.prompt_unknowns"))
@click.option("--readings", "table", type=click.Path(path_type=Path), help=tell("recording.readings"))
@click.option("--column", "columns", multiple=True, metavar="FIELD=HEADING", help=tell("recording.column"))
@click.option("--decimal-comma", is_flag=True, help=tell("exchanging.decimal_comma"))
@SEPARATOR
def record(
    file: Path,
    day: str | None,
    by: str | None,
    every: bool,
    work: bool,
    unknown: bool,
    table: Path | None,
    columns: tuple[str, ...],
    decimal_comma: bool,
    separator: str,
) -> None:
    """Prompt for the measurements and save them in FILE."""
    from vandoc.doors.exchange import Style
    from vandoc.doors.recording import ask_next, field, say
    from vandoc.model.van import Commissioning

    try:
        van, draft = read_van(file)
        given = day or date.today().isoformat()
        workshop = field(Commissioning, "by", by or van.system.workshop.name).strip()
        if unknown:
            record_unknowns(van, draft, lambda before, after: save(file, before, after))
            return
        if van.unknown:
            click.echo(say("unknowns.some", count=len(van.unknown)))
        worked = day_of(given, van)
        if work:
            record_work(van, draft, worked, lambda before, after: save(file, before, after), every=every)
            return
        if table is not None:
            style = Style(character_of(separator), decimal_comma)
            record_table(file, van, draft, table, style, headings_of(columns), worked, workshop)
            return
        count = len(van.measurements)
        with prompting(file, "record", {"date": given, "by": workshop, "all": every}) as dialogue:
            options = dialogue.journal.options  # those of the interrupted run, if it continues
            when, workshop = day_of(options["date"], van), field(Commissioning, "by", options["by"])
            asked = [
                one
                for one in ask_next(van.measurements, van.taken, every=options["all"])
                if not dialogue.journal.skipped(name_of(one))
            ]
            if not asked:
                click.echo(say("record.none"))
                return
            click.echo(say("record.start", open=len(asked), all=count))
            saved: set[str] = set()
            try:
                take(dialogue, asked, van, file, draft, "commissioning", when, workshop, saved)
            finally:
                left = sum(one not in saved and one not in van.taken for one in van.measurements)
                click.echo(say("record.end", taken=len(saved), open=left, all=count))
    except KeyError as error:
        stop(say("journal.damaged", path=error))
    except (VandocError, ValueError) as error:
        stop(str(error))


def name_of(one: "MeasurementPrompt") -> str:
    """Return the name of the prompt for a reading."""
    return f"reading.{one.measurement.id}"


def take(
    dialogue: Prompter,
    asked: "Iterable[MeasurementPrompt]",
    van: "Van",
    file: Path,
    draft: "Draft",
    section: str,
    day: date,
    by: str,
    saved: set[str],
) -> None:
    """Prompt for readings and save each; append the names of saved readings to `saved`."""
    from vandoc.analysis.commissioning import measurement_words
    from vandoc.analysis.commissioning import say as told
    from vandoc.doors.recording import add_reading, has_reading, say
    from vandoc.ground.units import number_in

    phase, kind, journal = "", "", dialogue.journal
    try:
        for one in asked:
            measurement = one.measurement
            if measurement.phase != phase:
                phase = measurement.phase
                click.echo(f"\n{told(f'phases.{phase}.title')}\n{told(f'phases.{phase}.intro')}")
            words = measurement_words(measurement, van.system)
            click.echo(f"\n{words.title} [{measurement.id}]")
            how = (words.instrument, words.method) if measurement.kind != kind else ()
            kind = measurement.kind
            for line in filter(None, (*how, words.probes, words.running)):
                click.echo(f"  {line}")
            if words.expected or words.band:
                click.echo(f"  {' · '.join(filter(None, (words.expected, words.band)))}")
            while True:
                value, current = _reading(dialogue, one)
                if not value:
                    break
                changed = add_reading(draft, section, day, by, measurement.id, value, current or None)
                if journal.resumed and has_reading(draft, section, day, by, measurement.id, value):
                    changed = draft  # saved by the interrupted run, which could not note it
                try:
                    draft = save(file, draft, changed)
                except SystemFileError as error:
                    refuse(error)
                    continue
                journal.mark_saved(name_of(one))
                saved.add(measurement.id)
                amps = number_in("current", current) if current else None
                verdict = one.verdict(one.number(value), amps, day)
                click.echo(say("record.saved", value=value, verdict=verdict))
                break
    except StoppedError:
        click.echo()


def _reading(dialogue: Prompter, one: "MeasurementPrompt") -> tuple[str, str]:
    """Prompt for a reading, and for the current if it depends on one; empty if skipped."""
    from vandoc.doors.recording import say

    def value_of(text: str) -> str:
        if text.casefold() == say("stop"):
            raise StoppedError
        return one.value(text) if text else ""

    def current_of(text: str) -> str:
        if text.casefold() == say("stop"):
            raise StoppedError
        return one.current(text) if text else ""

    value = dialogue.ask(name_of(one), f"  {say('record.value', unit=one.unit)}", value_of)
    if not value or not one.usual_current:
        return value, ""
    question = f"  {say('record.amps', amps=one.usual_current)}"
    return value, dialogue.ask(f"current.{one.measurement.id}", question, current_of)


def archive(file: Path, why: str, day: date, *, resumed: bool = False) -> None:
    """Archive the file as its next revision and report it; an interrupted run may have done so already."""
    from vandoc.doors.recording import say
    from vandoc.judgement.history import calculated
    from vandoc.reading.archive import content_of, keep, revisions
    from vandoc.reading.loader import load

    older = revisions(van_file := load(file)) if resumed else ()
    done = bool(older) and older[-1].content == content_of(van_file)
    try:
        kept = older[-1] if done else keep(file, why, day, calculate=calculated)
    except SystemFileError:
        raise
    except VandocError as error:
        raise VandocError(say("unarchived", reason=error)) from error
    click.echo(say("revision", mark=kept.mark, folder=kept.path.parent))


def day_of(text: str, van: "Van") -> date:
    """Return a date on which work on the van is possible.

    Raises
    ------
    ValueError
        With a message, if it is not a date, is in the future, or is before the van was built.
    """
    from vandoc.doors.recording import say

    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise ValueError(say("refuse.day", text=text)) from error
    built = van.system.van.built
    if day > date.today():
        raise ValueError(say("refuse.future", day=day))
    if built is not None and day < built:
        raise ValueError(say("refuse.before", day=day, built=built))
    return day
