"""The command that tests the fault trees of a van: `prove`."""

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from vandoc.doors.cli.checking import FORMAT
from vandoc.doors.cli.common import EXIT_UNUSABLE, VAN_FILE
from vandoc.doors.cli.report import as_json, of_errors, of_van
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import SystemFileError

if TYPE_CHECKING:
    from vandoc.analysis import Van

SEEDS = 1_000_000
"""Seeds that follow from a van file are below this, so that they can be copied by hand."""


@click.command(help=tell("help.prove"))
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option(
    "--pairs",
    default=100,
    show_default=True,
    type=click.IntRange(0, 100_000),
    help=tell("proving.number_random_fault"),
)
@click.option(
    "--runs",
    default=50,
    show_default=True,
    type=click.IntRange(0, 100_000),
    help=tell("proving.runs_per_symptom"),
)
@click.option(
    "--misled",
    default=0,
    show_default=True,
    type=click.IntRange(0, 100),
    metavar="PERCENT",
    help=tell("proving.misled"),
)
@click.option("--seed", type=int, help=tell("proving.random_seed_fault"))
@FORMAT
def prove(files: tuple[Path, ...], pairs: int, runs: int, misled: int, seed: int | None, form: str) -> None:
    """Test that the fault trees of a van lead to the faulty part."""
    from vandoc.doors.build import read

    status, reports = 0, []
    for file in files:
        try:
            van = read(file)
        except SystemFileError as error:
            click.echo(str(error), err=True)
            reports.append(of_errors(file, error))
            status = EXIT_UNUSABLE
            continue
        if van.unknown:
            click.echo(tell("proving.values_unknown", file=file, count=len(van.unknown)), err=True)
            status = EXIT_UNUSABLE
            continue
        proved = _prove(file, van, pairs, runs, misled / 100, seed)
        status = max(status, 0 if proved.passed else 1)
        if form == "text":
            click.echo(proved.text)
        reports.append(of_van(file, van.system.van.name, proved.data))
    if form == "json":
        click.echo(as_json(reports))
    sys.exit(status)


@dataclass(frozen=True)
class Proved:
    """What the proof of one van came to."""

    passed: bool
    text: str
    data: dict[str, Any]


def _prove(file: Path, van: "Van", pairs: int, runs: int, misled: float, seed: int | None) -> Proved:
    """Prove the trees of a van, each fault alone and two at once, then in sampled states."""
    from vandoc.analysis.diagnosis.field.field_prover import FieldProver, seed_of
    from vandoc.analysis.diagnosis.proof import Prover
    from vandoc.analysis.diagnosis.report import data_of, field_data, field_report, report
    from vandoc.analysis.diagnosis.symptoms import Diagnosis

    prover = Prover(Diagnosis(van), seed or 0)
    proof, both = prover.prove(), prover.pairs(pairs)
    passed = not (proof.lost or proof.early or any(not (one.found or one.handed_over) for one in both))
    text, data = [report(str(file), proof, both)], data_of(proof, both)
    if runs:
        own = seed_of(file.read_text("utf-8")) % SEEDS if seed is None else seed
        field = FieldProver(Diagnosis(van), own, misled).prove(runs)
        passed = passed and not field.missed()
        text.append(field_report(field))
        data["sampled"] = field_data(field)
    return Proved(passed, "\n".join(text), data)
