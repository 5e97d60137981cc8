"""Findings of the checks with their working, and every rule with its reason."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from json import dumps
from posixpath import dirname, relpath

from vandoc.ground.extensions import packages
from vandoc.judgement import checks
from vandoc.judgement.checks.finding import SEVERITIES, Acknowledged, Finding, Reviewed
from vandoc.judgement.checks.rule import Rule
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.pieces import piece_path
from vandoc.pages.manual.electrician.wiring import cable_anchor, load_path
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import enumerated, say, upper_first
from vandoc.pages.manual.workshop_pages import safe_name

REVIEWED = "reviewed"
WORDS = (*SEVERITIES[:2], REVIEWED, *SEVERITIES[2:])


@dataclass(frozen=True)
class FindingView:
    """A finding, ready for display."""

    subject: str
    path: str | None
    message: str
    working: tuple[str, ...]
    source: str
    place: str
    nearest: str
    package: str | None
    reviewed: Reviewed | None
    reviewed_on: date | None
    acknowledged: Acknowledged | None
    acknowledged_on: date | None
    entry: tuple[str, ...]


def pages(book: Book) -> Iterator[Page]:
    """Yield the findings by severity, and the rules."""
    groups = [_group(book, word, [f for f in book.findings if _word(f) == word]) for word in WORDS]
    yield Page(
        "electrician/findings.md",
        "electrician/findings",
        say("menu.findings"),
        {"groups": groups},
        searched=False,
    )
    met = {finding.rule for finding in book.findings}
    rules = list(checks.rules().values())
    failing = [rule for rule in rules if rule.severity == "fail"]
    view = {
        "rules": rules,
        "met": met,
        "packages": enumerated(map(str, packages())),
        "failing": len(failing),
        "undocumented": [rule for rule in failing if not rule.documented],
    }
    yield Page("electrician/rules.md", "electrician/rules", say("menu.rules"), view, searched=False)


def _word(finding: Finding) -> str:
    """Return the key of the group of a finding: its severity, or `reviewed`."""
    return REVIEWED if finding.reviewed else finding.severity


def _group(
    book: Book, word: str, findings: list[Finding]
) -> tuple[str, str, int, list[tuple[Rule, list[FindingView]]]]:
    """Return the findings of one group by rule, in the order of the file."""
    found: dict[str, list[FindingView]] = {}
    for finding in findings:
        found.setdefault(finding.rule, []).append(_shown(book, finding))
    rules = [(checks.rules()[slug], shown) for slug, shown in found.items()]
    title = say(REVIEWED) if word == REVIEWED else say(f"severity.{word}")
    return word, title, len(findings), rules


def _shown(book: Book, finding: Finding) -> FindingView:
    return FindingView(
        finding.subject,
        path_of_subject(book, finding.subject),
        finding.message,
        tuple(finding.working.splitlines()),
        finding.source,
        f"{_published(book, finding.file)}:{finding.line}:{finding.column}",
        upper_first(finding.nearest.text) if finding.nearest else "",
        finding.package,
        finding.reviewed,
        date.fromisoformat(finding.reviewed.date) if finding.reviewed else None,
        finding.acknowledged,
        date.fromisoformat(finding.acknowledged.date) if finding.acknowledged else None,
        tuple(_entry(finding)) if finding.open or _may_be_known(book, finding) else (),
    )


def _may_be_known(book: Book, finding: Finding) -> bool:
    """Whether a person may acknowledge a finding: a fail of a van that is documented as it was found."""
    known = finding.acknowledged is not None
    return finding.severity == "fail" and book.system.documented is not None and not known


def _entry(finding: Finding) -> Iterator[str]:
    """Yield the lines of the van file that would accept a finding, still without the reviewer."""
    for key, text in (("rule", finding.rule), ("subject", finding.subject), ("accepts", finding.accepts)):
        yield f"{'- ' if key == 'rule' else '  '}{key}: {dumps(text, ensure_ascii=False)}"


def _published(book: Book, file: str) -> str:
    """Return a path relative to the van's folder, since a parent folder may contain a customer's name."""
    return relpath(file, dirname(book.van_file.tree.location.file) or ".")


def path_of_subject(book: Book, subject: str) -> str | None:
    """Return the page of a finding's subject, or None if it has none."""
    if subject in book.system.equipment:
        return piece_path(subject)
    if subject in book.system.loads:
        return load_path(subject)
    if subject in book.network.conductors:
        return f"electrician/cables.md#{cable_anchor(subject)}"
    if subject in book.network.fuses:
        return f"fuse/{safe_name(subject)}.md"
    if subject in book.system.places:
        return f"electrician/places.md#place-{subject}"
    circuit = next((c for c in book.system.circuits if c.id == subject), None)
    return load_path(circuit.loads[0]) if circuit and circuit.loads else None
