"""The command that checks van files, `check`, and findings as text."""

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from vandoc.doors.cli.common import EXIT_UNUSABLE, VAN_FILE
from vandoc.doors.cli.report import as_json, of_errors, of_van, unknowns_of
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import SystemFileError
from vandoc.ground.memory import nothing_collected

if TYPE_CHECKING:
    from vandoc.judgement.checks.finding import Finding, Reviewed

FORMAT = click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help=tell("checking.output_format"),
)


@click.command(help=tell("help.check"))
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@FORMAT
def check(files: tuple[Path, ...], form: str) -> None:
    """Check van files against every rule."""
    with nothing_collected():
        from vandoc.doors.build import read
        from vandoc.judgement.remedy import fails, findings

    status = 0
    reports: list[dict[str, Any]] = []
    for file in files:
        try:
            with nothing_collected():
                van = read(file)
                found = findings(van)
        except SystemFileError as error:
            click.echo(str(error), err=True)
            reports.append(of_errors(file, error))
            status = EXIT_UNUSABLE
            continue
        status = max(status, 1 if fails(van) else 0)
        if form == "text":
            with van.speaking():
                for finding in found:
                    click.echo(as_text(finding))
                click.echo(f"{file}: {counts(found)}")
        listed = [asdict(finding) for finding in found]
        content = {"findings": listed, **unknowns_of(van)}
        reports.append(of_van(file, van.system.van.name, content))
    if form == "json":
        click.echo(as_json(reports))
    sys.exit(status)


def by_whom(review: "Reviewed") -> str:
    return tell(
        "checking.reviewed_by_on", by=review.by, date=review.date, why=review.why, evidence=review.evidence
    )


def as_text(finding: "Finding") -> str:
    lines = [str(finding)]
    if finding.working:
        lines += [f"    {line}" for line in finding.working.splitlines()]
    if finding.nearest:
        lines.append(f"    {finding.nearest.text}")
    if finding.acknowledged:
        known = finding.acknowledged
        lines.append(
            f"    {tell('checking.known_to', by=known.by, date=known.date, keep_off=known.keep_off)}"
        )
    if finding.reviewed:
        lines.append(f"    {by_whom(finding.reviewed)}")
    return "\n".join(lines)


def counts(findings: tuple["Finding", ...]) -> str:
    from vandoc.judgement.checks.finding import SEVERITIES

    left = [finding.severity for finding in findings if finding.reviewed is None]
    met = [f"{left.count(word)} {word}" for word in SEVERITIES]
    done = len(findings) - len(left)
    return ", ".join([*met, tell("checking.reviewed", done=done)] if done else met)
