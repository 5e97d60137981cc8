"""The command that proves the fault-finding trees of a van: `prove`."""

import sys
from pathlib import Path

import click

from vandoc.cli.common import UNUSABLE, VAN_FILE
from vandoc.errors import SystemFileError


@click.command()
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option(
    "--pairs", default=100, show_default=True, type=click.IntRange(0, 100_000), help="Two faults at once."
)
@click.option("--seed", default=0, show_default=True, help="Of the sizes of faults and the noise of meters.")
def prove(files: tuple[Path, ...], pairs: int, seed: int) -> None:
    """Prove that the fault-finding trees of a van lead to what is broken.

    Every single fault is put into the van's network, which is solved anew; each symptom that it shows is
    followed through its tree, with readings as far off as a meter may be. At its end what it names is put
    right, and the van solved once more. So are pairs of faults drawn at random. Ends with 0 when every fault
    is found and every pair ends at one of the two or where more than one thing may be wrong, 1 when one does
    not, 2 when a file cannot be used.
    """
    from vandoc.build import judge
    from vandoc.diagnosis.proof import Prover
    from vandoc.diagnosis.report import report
    from vandoc.diagnosis.symptoms import Diagnosis

    status = 0
    for file in files:
        try:
            judged = judge(file)
        except SystemFileError as error:
            click.echo(str(error), err=True)
            status = UNUSABLE
            continue
        prover = Prover(Diagnosis(judged.van_file.system, judged.network, judged.sizing), seed)
        proof = prover.prove()
        both = prover.pairs(pairs)
        click.echo(report(str(file), proof, both))
        astray = any(not (walk.found or walk.handed_over) for walk in both)
        status = max(status, 1 if proof.lost or proof.early or astray else 0)
    sys.exit(status)
