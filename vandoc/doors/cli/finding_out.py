"""Prompts for the values that nobody knew: `record --unknown`."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from vandoc.doors.cli.common import refuse
from vandoc.ground.errors import SystemFileError

if TYPE_CHECKING:
    from vandoc.analysis import Van
    from vandoc.reading.editing import Draft


def record_unknowns(van: "Van", draft: "Draft", save: Callable[["Draft", "Draft"], "Draft"]) -> None:
    """Prompt for each unknown value, in the order of the file; each answer is saved at once."""
    from vandoc.doors.recording import answered, can_be_entered, say, unit_of, with_known
    from vandoc.judgement.checks.rules.unknown.value_unknown import how_to_measure, what_of

    asked = [one for one in van.unknown if can_be_entered(one)]
    by_hand = [van.name(one.subject) for one in van.unknown if not can_be_entered(one)]
    if asked:
        click.echo(say("unknowns.start", count=len(asked)))
    saved, stopped = 0, False
    for one in asked:
        click.echo(f"\n{van.name(one.subject)}: {what_of(one)}\n  {how_to_measure(one)}")
        while not stopped:
            text = click.prompt(
                f"  {say(f'unknowns.ask.{one.quantity}', unit=unit_of(one))}", default="", show_default=False
            ).strip()
            stopped = text.casefold() == say("stop")
            if stopped or not text:
                break
            try:
                draft = save(draft, with_known(draft, one, answered(one, text)))
            except (SystemFileError, ValueError) as error:
                refuse(error)
                continue
            saved += 1
            click.echo(say("work.saved"))
            break
        if stopped:
            break
    if by_hand:
        click.echo(say("unknowns.by_hand", names="', '".join(by_hand)))
    click.echo(say("unknowns.end", saved=saved, left=len(van.unknown) - saved))
