"""Command line. Each command imports only what it needs, so that small commands start quickly."""

from typing import Any

import click

from vandoc import __version__
from vandoc.doors.cli.archiving import repair, revise
from vandoc.doors.cli.building import build, withdraw
from vandoc.doors.cli.checking import check
from vandoc.doors.cli.common import stop
from vandoc.doors.cli.designating import designate_command
from vandoc.doors.cli.exchanging import export_command, import_command
from vandoc.doors.cli.printing import print_command
from vandoc.doors.cli.proving import prove
from vandoc.doors.cli.recording import record
from vandoc.doors.cli.servicing import service
from vandoc.doors.cli.sizing import size_command
from vandoc.doors.cli.starting import new, schema, survey_command
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import ExtensionError
from vandoc.ground.extensions import ignored
from vandoc.ground.memory import nothing_collected_at_exit


def _without_packages(ctx: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted:
        ctx.with_resource(ignored())


NO_PLUGINS = click.Option(
    ["--no-plugins"],
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_without_packages,
    help=tell("main.ignore_what_installed"),
)


class _Commands(click.Group):
    """Group of commands that end with a message if a third-party package is faulty."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except ExtensionError as error:
            stop(str(error))


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]}, help=tell("help.main"))
@click.version_option(__version__, message="%(version)s")
def main() -> None:
    """Document the leisure electrics of a camper van."""
    nothing_collected_at_exit()


COMMANDS = (
    survey_command,
    new,
    check,
    size_command,
    designate_command,
    export_command,
    import_command,
    build,
    withdraw,
    print_command,
    prove,
    record,
    service,
    revise,
    repair,
    schema,
)
for command in COMMANDS:
    command.params.append(NO_PLUGINS)
    main.add_command(command)
main.params.append(NO_PLUGINS)
