"""The command line. Each command imports what it needs, so that a small one starts quickly."""

import click

from vandoc import __version__
from vandoc.doors.cli.archiving import repair, revise
from vandoc.doors.cli.building import build, withdraw
from vandoc.doors.cli.judging import check, size_command
from vandoc.doors.cli.printing import print_command
from vandoc.doors.cli.proving import prove
from vandoc.doors.cli.recording import record
from vandoc.doors.cli.servicing import service
from vandoc.doors.cli.starting import new, schema, survey_command


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(version)s")
def main() -> None:
    """Document the leisure electrics of a camper van.

    One van file becomes checked calculations, drawings and an owner's manual.
    """


COMMANDS = (
    survey_command,
    new,
    check,
    size_command,
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
    main.add_command(command)
