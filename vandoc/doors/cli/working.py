"""Prompts for the tests of alarms and the work on the vehicle: `record --work`."""

from collections.abc import Callable, Iterator
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

import click

from vandoc.ground.measures import measure

if TYPE_CHECKING:
    from vandoc.analysis import Van
    from vandoc.reading.editing import Draft

Entry = tuple[str, Callable[[str], str], Callable[["Draft", str], "Draft"]]
"""A question, the reading of its answer, and the change that the answer makes."""


def record_work(
    van: "Van", draft: "Draft", day: date, save: Callable[["Draft", "Draft"], "Draft"], *, every: bool
) -> None:
    """Prompt for what is not recorded yet; each answer is saved before the next prompt."""
    from vandoc.doors.recording import say

    entries = [*_alarms(van, day, every=every), *_work(van, every=every)]
    if not entries:
        click.echo(say("work.none"))
        return
    click.echo(say("work.start"))
    count = 0
    for question, read, change in entries:
        answer = click.prompt(question, default="", show_default=False, value_proc=_or_stop(read))
        if answer == say("stop"):
            break
        if answer:
            draft = save(draft, change(draft, answer))
            count += 1
            click.echo(say("work.saved"))
    click.echo(say("work.end", count=count))


def _or_stop(read: Callable[[str], str]) -> Callable[[str], str]:
    """Return a reading of answers that lets through an empty one, and the word that ends the prompts."""
    from vandoc.doors.recording import say

    def value_of(text: str) -> str:
        text = text.strip()
        if not text or text.casefold() == say("stop"):
            return text.casefold()
        try:
            return read(text)
        except ValueError as error:
            raise click.UsageError(str(error)) from error

    return value_of


def _alarms(van: "Van", day: date, *, every: bool) -> Iterator[Entry]:
    from vandoc.doors.recording import add_alarm_test, field, say
    from vandoc.model.fitting import Alarm

    def change_of(number: int) -> Callable[["Draft", str], "Draft"]:
        return lambda draft, text: add_alarm_test(draft, number, day, text)

    for number, alarm in enumerate(van.system.alarms):
        if every or alarm.tested is None or alarm.tested_with is None:
            place = van.system.places[alarm.place].label
            question = say("work.alarm", of=alarm.detects.capitalize(), place=place)
            yield question, partial(field, Alarm, "tested_with"), change_of(number)


def _work(van: "Van", *, every: bool) -> Iterator[Entry]:
    from vandoc.doors.recording import add_pulls, add_work, field, in_unit, pulls_in, say
    from vandoc.model.base import key_of
    from vandoc.model.fitting import Installation

    def read_of(name: str) -> Callable[[str], str]:
        unit = {"kg": "kg", "m": "m"}.get(name.rpartition("_")[2], "")
        return lambda text: field(Installation, name, in_unit(text, measure(unit)) if unit else text)

    def change_of(name: str) -> Callable[["Draft", str], "Draft"]:
        return lambda draft, text: add_work(draft, key_of(name), text)

    def pulled(text: str) -> str:
        pulls_in(text)
        return text

    record = van.system.installation or Installation()
    for name, one in Installation.model_fields.items():
        if one.default is None and (every or getattr(record, name) is None):
            yield say(f"work.{name}"), read_of(name), change_of(name)
        elif name == "pulled" and (every or not record.pulled):
            yield say("work.pulled"), pulled, add_pulls
