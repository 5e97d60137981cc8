"""The command that tests the fault trees of a van: `prove`."""

import sys
from pathlib import Path

import click

from vandoc.doors.cli.common import EXIT_UNUSABLE, VAN_FILE
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import SystemFileError


@click.command(help=tell("help.prove"))
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option(
    "--pairs",
    default=100,
    show_default=True,
    type=click.IntRange(0, 100_000),
    help=tell("proving.number_random_fault"),
)
@click.option("--seed", default=0, show_default=True, help=tell("proving.random_seed_fault"))
def prove(files: tuple[Path, ...], pairs: int, seed: int) -> None:
    """Test that the fault trees of a van lead to the faulty part."""
    from vandoc.analysis.diagnosis.proof import Prover
    from vandoc.analysis.diagnosis.report import report
    from vandoc.analysis.diagnosis.symptoms import Diagnosis
    from vandoc.doors.build import read

    status = 0
    for file in files:
        try:
            van = read(file)
        except SystemFileError as error:
            click.echo(str(error), err=True)
            status = EXIT_UNUSABLE
            continue
        if van.unknown:
            click.echo(tell("proving.values_unknown", file=file, count=len(van.unknown)), err=True)
            status = EXIT_UNUSABLE
            continue
        prover = Prover(Diagnosis(van), seed)
        proof = prover.prove()
        both = prover.pairs(pairs)
        click.echo(report(str(file), proof, both))
        astray = any(not (walk.found or walk.handed_over) for walk in both)
        status = max(status, 1 if proof.lost or proof.early or astray else 0)
    sys.exit(status)
