"""The command line. Each command imports what it needs, so that a small one starts quickly."""

import json
import sys
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from vandoc import __version__
from vandoc.errors import ChecksFailedError, SystemFileError, VandocError

if TYPE_CHECKING:
    from vandoc.checks.finding import Finding

UNUSABLE = 2
VAN_FILE = click.Path(path_type=Path)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(version)s")
def main() -> None:
    """One van file in; a checked, drawn, browsable owner's manual of its leisure electrics out."""


@main.command()
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def check(files: tuple[Path, ...], form: str) -> None:
    """Judge van files by every rule.

    Ends with 0 when nothing fails, 1 when a rule fails, 2 when a file cannot be used.
    """
    from vandoc.build import judge

    status = 0
    reports: list[dict[str, Any]] = []
    for file in files:
        try:
            judged = judge(file)
        except SystemFileError as error:
            click.echo(str(error), err=True)
            status = UNUSABLE
            continue
        status = max(status, 1 if judged.fails else 0)
        if form == "text":
            for finding in judged.findings:
                click.echo(_as_text(finding))
            click.echo(f"{file}: {_counts(judged.findings)}")
        found = [asdict(finding) for finding in judged.findings]
        reports.append({"van": judged.van_file.system.van.name, "findings": found})
    if form == "json" and reports:
        report = reports[0] if len(files) == 1 else reports
        click.echo(json.dumps(report, ensure_ascii=False, indent=1))
    sys.exit(status)


@main.command("size")
@click.argument("file", type=VAN_FILE, metavar="FILE")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def size_command(file: Path, form: str) -> None:
    """Propose what a van file leaves open: batteries, chargers, fuses and cables.

    Each comes with the rule that decided it. With the proposals in place the van is judged: ends with 0 when
    nothing fails, 1 when a rule fails, 2 when the file cannot be used or lacks what proposals rest on.
    """
    from vandoc.build import judge
    from vandoc.proposals import listed, proposals

    try:
        judged = judge(file)
    except SystemFileError as error:
        _stop(str(error))
    found = proposals(judged.van_file.system, judged.network, judged.sizing)
    if form == "json":
        report = {"van": judged.van_file.system.van.name, **asdict(found)}
        report["findings"] = [asdict(finding) for finding in judged.fails]
        click.echo(json.dumps(report, ensure_ascii=False, indent=1))
    else:
        click.echo(listed(found))
        for finding in judged.fails:
            click.echo(_as_text(finding))
        click.echo(f"{file}: {_counts(judged.findings)}")
    sys.exit(1 if judged.fails else 0)


def _as_text(finding: "Finding") -> str:
    lines = [str(finding)]
    if finding.working:
        lines += [f"    {line}" for line in finding.working.splitlines()]
    if finding.nearest:
        lines.append(f"    {finding.nearest.text}")
    return "\n".join(lines)


def _counts(findings: tuple["Finding", ...]) -> str:
    from vandoc.checks.finding import SEVERITIES

    return ", ".join(f"{sum(f.severity == word for f in findings)} {word}" for word in SEVERITIES)


@main.command()
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option("--out", required=True, type=VAN_FILE, metavar="DIR", help="Folder for the manuals.")
@click.option("--draft", is_flag=True, help="Build a van that fails too; each page says so.")
def build(files: tuple[Path, ...], out: Path, draft: bool) -> None:
    """Build the manual of each van into DIR/<van>/.

    A van that fails a rule is not built, and what was published before stays as it was.
    """
    from vandoc.publish import name_of, publish

    names = [name_of(file) for file in files]
    for number, name in enumerate(names):
        if name in names[:number]:
            first = files[names.index(name)]
            _stop(f"{files[number]}: the manual would have the name of that of {first}: {name}")
    status = 0
    for number, file in enumerate(files, start=1):
        if len(files) > 1:
            click.echo(f"{number} of {len(files)}: {file}")
        try:
            click.echo(f"{publish(file, out, draft=draft)}/index.html")
        except ChecksFailedError as error:
            click.echo(
                f"{error}\n{file}: not built, for it fails its checks; --draft builds it all the same",
                err=True,
            )
            status = max(status, 1)
        except VandocError as error:
            click.echo(str(error), err=True)
            status = UNUSABLE
    sys.exit(status)


@main.command()
@click.argument("folder", type=VAN_FILE, metavar="DIR")
@click.option("--no-input", is_flag=True, help="Ask nothing; take the defaults.")
def new(folder: Path, no_input: bool) -> None:
    """Write a van file to start from into DIR.

    It is commented, valid, and builds as it is. On a terminal its questions are asked.
    """
    import secrets

    from vandoc.starter import QUESTIONS, Answers, render

    answers = {}
    if not no_input and sys.stdin.isatty():
        for question in QUESTIONS:
            answers[question.key] = click.prompt(
                question.text,
                default=question.default,
                show_default=bool(question.default),
                value_proc=_reader(question.read),
            )
    written = render(Answers(**answers), secrets.token_hex(8))
    present = [folder / name for name in written if (folder / name).exists()]
    if present:
        _stop(f"{present[0]}: is there already, and is not replaced")
    try:
        for name, text in written.items():
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            with target.open("x", encoding="utf-8") as stream:
                stream.write(text)
            click.echo(target)
    except OSError as error:
        _stop(f"{error.filename or folder}: cannot be written: {error.strerror}")


def _reader(read: Callable[[str], Any]) -> Callable[[str], Any]:
    """Turn a refused answer into click's own, so that the question is asked again."""

    def value_of(text: str) -> Any:
        try:
            return read(text)
        except ValueError as error:
            raise click.UsageError(str(error)) from error

    return value_of


@main.command()
def schema() -> None:
    """Print the JSON Schema of a van file, for an editor to complete its keys."""
    from vandoc.schema import json_schema

    click.echo(json.dumps(json_schema(), ensure_ascii=False, indent=1))


def _stop(message: str) -> NoReturn:
    click.echo(message, err=True)
    sys.exit(UNUSABLE)
