"""What vandoc changed is told apart from what was done to the van, by the results that revisions keep."""

import re
import shutil
from dataclasses import replace
from datetime import date

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.conftest import ROOT
from tests.recording.vans import state_sizes
from vandoc import __version__
from vandoc.doors import build
from vandoc.doors.cli import main
from vandoc.ground.data import constant
from vandoc.ground.errors import SystemFileError
from vandoc.judgement.history import calculated
from vandoc.physics import limits
from vandoc.reading.archive import Calculated, KeptFinding, keep, revisions
from vandoc.reading.archive.calculated import calculated_in
from vandoc.reading.archive.revision import seal_of
from vandoc.reading.loader import load
from vandoc.reading.yamltree import parse

DAY = date(2026, 3, 14)
VAN, VANDOC = "Changes to the van", "Changes by vandoc, not to the van"
OLD = "0.0.9"
GONE = KeptFinding("of-old", "house", "review", "An earlier version found this.")


@pytest.fixture
def wren(tmp_path):
    shutil.copytree(ROOT / "sites/wren", tmp_path / "wren")
    shutil.copytree(ROOT / "sites/parts", tmp_path / "parts")
    return tmp_path / "wren/van.yml"


def earlier(van_file):
    """The results of a version that proposed another fuse, had a finding more, and lacked one of today's."""
    now = calculated(van_file)
    return replace(
        now,
        version=OLD,
        figures={**now.figures, ("fuse", "solar-fuse"): 40.0, ("current", "solar-fuse"): 20.4},
        findings=(*now.findings[1:], GONE),
    )


def enlarge(path):
    text = path.read_text("utf-8")
    assert text.count("capacity: 110 Ah") == 1
    path.write_text(text.replace("capacity: 110 Ah", "capacity: 130 Ah"), "utf-8")


def told(path) -> list[dict[str, str]]:
    """Text of each section below each revision on the page, the newest revision first."""
    page = str(build.write_manual(build.read(path)).files["electrician/changes.md"])
    steps = re.split(r"^## ", page.replace("\xa0", " "), flags=re.MULTILINE)[1:]
    sections = [re.split(r"^### ", step, flags=re.MULTILINE) for step in steps]
    return [dict(part.split("\n", 1) for part in parts) for parts in sections]


def test_revise_keeps_the_version_and_the_main_results(wren):
    state_sizes(wren)
    done = CliRunner().invoke(main, ["revise", str(wren), "--why", "handed over", "--date", "2026-03-14"])
    assert done.exit_code == 0, done.output
    (kept,) = revisions(load(wren))
    results = kept.calculated()
    assert results.version == __version__
    # Stated in the van file, or read from its list of proposed sizes.
    assert results.figures["fuse", "board.1"] == 3
    assert results.figures["cable", "battery-plus"] == 35
    assert results.figures["capacity", "house"] == 110
    assert {kind for kind, _ in results.figures} == {
        *("cable", "fuse", "current", "drop", "capacity", "fault", "autonomy")
    }
    found = [one for one in results.findings if one.rule == "relay-current-unlimited"]
    assert [(one.subject, one.severity) for one in found] == [("relay", "review")]
    assert "split-charge relay" in found[0].message


def test_repair_keeps_them_too(wren):
    for number in (110, 111):
        wren.write_text(
            wren.read_text("utf-8").replace("capacity: 110 Ah", f"capacity: {number} Ah"), "utf-8"
        )
        keep(wren, "step", DAY)
    (wren.parent / "revisions/0001.yml").write_text("", "utf-8")
    assert CliRunner().invoke(main, ["repair", str(wren)]).exit_code == 0
    assert revisions(load(wren))[-1].calculated().version == __version__


def test_a_revision_without_results_says_that_it_cannot_tell(wren):
    kept = keep(wren, "handed over", DAY)
    assert kept.calculated() is None
    (step,) = told(wren)
    assert step[VANDOC].startswith("\nNot known: this revision does not keep its calculated results")


def test_the_same_version_changes_nothing(wren):
    keep(wren, "handed over", DAY, calculate=calculated)
    (step,) = told(wren)
    assert step[VANDOC].strip() == (
        f"None. This version of vandoc calculates and finds the same as version {__version__}, "
        "which archived the revision."
    )


def test_another_version_with_the_same_van_changes_things_only_by_vandoc(wren):
    keep(wren, "handed over", DAY, calculate=earlier)
    missing = calculated(load(wren)).findings[0]
    (step,) = told(wren)
    assert VAN not in step
    said = step[VANDOC]
    assert f"Version {OLD} of vandoc archived this revision." in said
    assert [line for line in said.splitlines() if line.startswith("| Solar")] == [
        "| Solar controller fuse&#58; rating | 40 A | 30 A |"
    ]
    new, cleared = said.split("**Cleared findings**")
    assert "**New findings**" in new
    assert missing.message.partition("'")[0] in new
    assert "An earlier version found this." in cleared


def test_a_changed_van_changes_things_only_to_the_van(wren):
    keep(wren, "handed over", DAY, calculate=calculated)
    enlarge(wren)
    keep(wren, "larger battery", DAY, calculate=calculated)
    second, first = told(wren)
    assert "| Leisure battery&#58; capacity | 110 Ah | 130 Ah |" in second[VAN]
    assert second[VANDOC].startswith("\nNone.")
    assert first[VANDOC].startswith("\nNone.")


def test_both_changes_are_told_apart(wren):
    keep(wren, "handed over", DAY, calculate=earlier)
    enlarge(wren)
    keep(wren, "larger battery", DAY, calculate=calculated)
    second, first = told(wren)
    assert "capacity | 110 Ah | 130 Ah" in second[VAN]
    assert "Solar controller fuse" not in second[VAN].replace("Solar controller fuse&#58; maximum prosp", "")
    assert "40 A" not in second[VAN]
    assert "An earlier version" not in second[VAN]
    assert second[VANDOC].startswith("\nNone.")
    assert "rating | 40 A | 30 A" in first[VANDOC]
    assert "capacity" not in first[VANDOC]


def test_a_rule_of_sizing_that_vandoc_changed_is_told(wren, monkeypatch):
    with monkeypatch.context() as then:
        low = replace(constant("continuous fuse load"), value=0.4)
        then.setattr(limits, "fuse_load", lambda _system: low)
        keep(wren, "handed over", DAY, calculate=calculated)
    (step,) = told(wren)
    # 2 A of continuous current takes a fuse of 5 A at 40 % of its rating, and of 3 A at 80 %.
    assert "| Fuse 6 of the fuse box&#58; rating | 5 A | 3 A |" in step[VANDOC]


def test_an_edit_of_the_results_breaks_the_seal(wren):
    kept = keep(wren, "handed over", DAY, calculate=calculated)
    text = kept.text.replace('"solar-fuse": 30', '"solar-fuse": 40', 1)
    assert text != kept.text
    kept.path.write_text(text, "utf-8")
    with pytest.raises(SystemFileError, match="revision 1 was changed after it was archived"):
        build.read(wren)


@pytest.mark.parametrize(
    "block",
    [
        "calculated: 3",
        "calculated: {}",
        "calculated: {vandoc: 1, findings: []}",
        'calculated: {vandoc: "1", findings: [[a, b]]}',
        'calculated: {vandoc: "1", findings: [], fuse: {a: much}}',
        'calculated: {vandoc: "1", findings: [], fuse: {a: true}}',
        'calculated: {vandoc: "1", findings: [], fuse: 3}',
    ],
)
def test_results_that_cannot_be_read_are_not_known_and_stop_nothing(wren, block):
    kept = keep(wren, "handed over", DAY)
    body = kept.text[: kept.text.rindex("# seal: ")].replace("\narchived: ", f"\n{block}\narchived: ")
    kept.path.write_text(f"{body}# seal: {seal_of(body)}\n", "utf-8")
    with pytest.raises(SystemFileError, match=r"0001\.yml:\d+:\d+: calculated: "):
        revisions(load(wren))[0].calculated()
    (step,) = told(wren)
    assert step[VANDOC].startswith("\nNot known")


TEXTS = st.text(
    st.sampled_from("aé'\"\\:#{}[], |\t\n\r\x00\x07\x7f\x85\xa0\u2028\u2029\ufeff\ufffe🔋"), max_size=8
)
FIGURES = st.dictionaries(st.tuples(st.sampled_from(["cable", "fuse"]), TEXTS), st.floats(0, 1e6), max_size=3)
FINDINGS = st.lists(st.builds(KeptFinding, TEXTS, TEXTS, TEXTS, TEXTS), max_size=2)


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(TEXTS, FIGURES, FINDINGS)
def test_what_is_written_is_read_again(version, figures, findings):
    written = Calculated(version, figures, tuple(findings))
    read = calculated_in(parse("\n".join(written.lines()), "copy").value["calculated"])
    assert (read.version, read.findings) == (version, tuple(findings))
    assert read.figures == pytest.approx(figures, rel=1e-5, abs=1e-12)
