"""The command that tests the fault trees of a van: `prove`."""

import sys
from pathlib import Path

import click

from vandoc.doors.cli.common import EXIT_UNUSABLE, VAN_FILE
from vandoc.ground.errors import SystemFileError


@click.command()
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option(
    "--pairs",
    default=100,
    show_default=True,
    type=click.IntRange(0, 100_000),
    help="Number of random fault pairs to test.",
)
@click.option("--seed", default=0, show_default=True, help="Random seed for fault severity and meter error.")
def prove(files: tuple[Path, ...], pairs: int, seed: int) -> None:
    """Test that the fault trees of a van lead to the faulty part.

    Each single fault is inserted into the van's network, which is solved again. Each symptom it causes is
    traced through its tree, with readings that include the meter's error. The part named at the end is
    repaired and the van is solved again. Random pairs of faults are tested in the same way: a run must end
    at one of the two or at "more than one fault".

    Exit status: 0 if every run ends as it must, 1 if one does not, 2 if a file cannot be used.
    """
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
        prover = Prover(Diagnosis(van), seed)
        proof = prover.prove()
        both = prover.pairs(pairs)
        click.echo(report(str(file), proof, both))
        astray = any(not (walk.found or walk.handed_over) for walk in both)
        status = max(status, 1 if proof.lost or proof.early or astray else 0)
    sys.exit(status)
