"""One quantity is one figure, on whatever page and in whatever finding it stands."""

import html
import re
from collections.abc import Mapping
from functools import cache
from itertools import pairwise

import pytest

from tests.manual.manuals import ROOT, VANS, judged, pages_of, tree_of, with_system, words
from vandoc.analysis import Van
from vandoc.ground.figures import plain, quantity, stated
from vandoc.judgement.remedy import findings

AMPS = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)[ \u00a0](k?A)(?![\w²])")
LARGE_A = 200.0  # below it loads, fuses and chargers have currents of their own
FACTOR = {"A": 1.0, "kA": 1e3}
CHANGES = "electrician/changes.md"


@cache
def without_evidence(van: str) -> Van:
    """A demonstration van without the documents that answer for breaking capacities."""
    found = judged(van)
    pieces = {
        ident: piece.model_copy(update={"figures_from": None, "conditional_a": None, "opens": None})
        for ident, piece in found.system.equipment.items()
    }
    return with_system(found, found.system.model_copy(update={"equipment": pieces}))


@cache
def files(van: str) -> Mapping[str, object]:
    return pages_of(without_evidence(van)).files


@cache
def texts(van: str) -> dict[str, str]:
    """The pages, drawings and lists of a van and its findings, as text."""
    found = {
        path: html.unescape(str(content))
        for path, content in files(van).items()
        if path.endswith((".md", ".html", ".svg"))
    }
    for number, finding in enumerate(findings(without_evidence(van))):
        found[f"finding {number}: {finding.rule}"] = f"{finding.message}\n{finding.working}"
    return found


@cache
def currents(text: str) -> list[tuple[str, float]]:
    """The large currents of a text, as they stand there and in amperes."""
    found = [(plain(match[0]), float(match[1]) * FACTOR[match[2]]) for match in AMPS.finditer(text)]
    return [(shown, amps) for shown, amps in found if amps >= LARGE_A]


@cache
def short_circuits(van: str) -> dict[str, float]:
    """The large short-circuit currents of a van by what they are of. [A]"""
    faults = without_evidence(van).faults
    found = {f"at fuse {ident}": amps for ident, amps in faults.at_fuse_a.items()}
    for ident, end in faults.at_end.items():
        found |= {f"largest at {ident}": end.largest_a, f"smallest at {ident}": end.smallest_a}
        found |= {f"{cable.conductor.id}, short at {ident}": cable.largest_a for cable in end.cables}
        for fuse in end.fuses:
            found |= {f"{fuse.link.id}, short at {ident}": fuse.largest_a}
            found |= {f"{fuse.link.id}, smallest at {ident}": fuse.smallest_a}
    for fault in without_evidence(van).body_faults.faults:
        name = f"{fault.terminal} of {fault.source} to the body"
        found |= {f"largest, {name}": fault.largest_a, f"smallest, {name}": fault.smallest_a}
    return {name: amps for name, amps in found.items() if amps >= LARGE_A}


@cache
def as_stated(van: str) -> set[str]:
    """Currents that are written in the files of a van or proposed, and may lie near a calculated one."""
    ratings = [fuse.rating_a for fuse in without_evidence(van).sizing.fuses.values()]
    sites = ROOT / "sites"
    written = [*(sites / van).rglob("*.yml"), *(sites / "parts").glob("*.yml")]
    found = {plain(match[0]) for path in written for match in AMPS.finditer(path.read_text("utf-8"))}
    return found | {plain(stated(amps, "A")) for amps in ratings}


@cache
def told_of_revisions(van: str) -> set[str]:
    """Rows of the page of changes with the short-circuit current at a fuse before and after a revision."""
    found = without_evidence(van)
    states = [*(Van.of(revision.van_file()) for revision in found.revisions or ()), found]
    return {
        f"| {name[0].upper()}{name[1:]}: maximum prospective short-circuit current"
        f" | {plain(quantity(old.faults.at_fuse_a[ident], 'A'))} | {plain(quantity(amps, 'A'))} |"
        for old, new in pairwise(states)
        for ident, amps in new.faults.at_fuse_a.items()
        if ident in old.faults.at_fuse_a
        for name in (new.fuse_name(new.network.fuses[ident]),)
    }


def of_today(van: str, place: str, text: str) -> str:
    """What a page says of the van as it is now: all but what a revision changed, told as before and after."""
    if place != CHANGES:
        return text
    return "\n".join(line for line in text.splitlines() if plain(line) not in told_of_revisions(van))


@pytest.mark.parametrize("van", VANS)
def test_large_currents_are_written_in_one_way(van):
    """Kiloamperes from 1000 A, three digits: what is rounded otherwise, or not at all, is seen."""
    seen = 0
    for place, text in texts(van).items():
        for shown, amps in currents(text):
            assert shown == plain(quantity(amps, "A")) or shown in as_stated(van), place
            seen += 1
    assert seen > 30


@pytest.mark.parametrize("van", VANS)
def test_a_short_circuit_current_is_one_figure_on_all_pages(van):
    """Whatever could be a rounding of a short-circuit current is its one figure, or that of another.

    Faults to the body are so many that below 1 kA one is near almost any current. What a fuse had before a
    revision is no figure of this van; its row must then have both figures as the two revisions give them.
    """
    known = short_circuits(van)
    distinct = {name: amps for name, amps in known.items() if amps >= 1000 or not name.endswith("body")}
    figures = {plain(quantity(amps, "A")) for amps in known.values()}
    places: dict[str, set[str]] = {figure: set() for figure in figures}
    for place, text in texts(van).items():
        for shown, amps in currents(of_today(van, place, text)):
            near = [name for name, true in distinct.items() if abs(amps - true) < 0.005 * true]
            assert not near or shown in figures | as_stated(van), f"{place}: {shown} for {near}"
            if shown in figures:
                places[shown].add(place)
    assert sum(len(where) > 1 for where in places.values()) >= 2, "most stand on one page alone"


@pytest.mark.parametrize("van", VANS)
def test_a_finding_on_breaking_capacity_names_the_current_of_the_page(van):
    found = without_evidence(van)
    table = next(tree_of(str(files(van)["electrician/faults.md"])).iter("table"))
    shown = {[words(cell) for cell in row][-1] for row in list(table.iter("tr"))[1:]}
    told = [finding for finding in findings(found) if finding.rule.startswith("breaking-capacity")]
    assert told
    for finding in told:
        prospective = quantity(finding.value, "A") if finding.value else ""
        assert plain(prospective) in shown, finding.rule
        assert plain(prospective) in finding.message
