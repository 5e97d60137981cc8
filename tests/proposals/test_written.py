"""Proposed sizes become ordinary values of the van file: nothing else of it changes, and nothing is lost."""

import json
from itertools import zip_longest
from pathlib import Path
from random import Random

import pytest
import yaml
from click.testing import CliRunner

from tests.vans.generated import _Van
from vandoc.analysis import Van
from vandoc.doors.cli import main
from vandoc.judgement.history import compare
from vandoc.judgement.history.results import figures
from vandoc.judgement.proposals import proposals
from vandoc.judgement.remedy import fails
from vandoc.reading.loader import load

SITES = Path(__file__).parents[2] / "sites"
DEMOS = ["curlew", "heron", "wren"]


@pytest.fixture
def beside(tmp_path):
    """A demonstration van in a folder where it finds its part sheets and pictures."""
    (tmp_path / "parts").symlink_to(SITES / "parts")

    def place(name):
        folder = tmp_path / name
        folder.mkdir()
        for path in (SITES / name).iterdir():
            if path.is_file():
                (folder / path.name).write_bytes(path.read_bytes())
        return folder / "van.yml"

    return place


def run(*args, entered="", status=0):
    done = CliRunner().invoke(main, [*map(str, args)], input=entered)
    assert done.exit_code == status, done.output
    return done.output


def judged(path):
    return Van.of(load(path))


@pytest.mark.parametrize("name", DEMOS)
def test_every_size_is_stated_and_nothing_else_changes(name, beside):
    path = beside(name)
    before, old = path.read_text("utf-8"), judged(path)
    assert proposals(old).items
    run("size", path, "--write")
    new = judged(path)
    assert proposals(new).items == ()
    assert figures(new) == pytest.approx(figures(old), rel=1e-5)  # within the rounds of the solver
    assert compare(old, new).stated == ()
    assert compare(old, new).moved == ()
    assert [label for label in compare(old, new).labels if label.kind != "code"] == []
    assert (path.parent / "van.before-1.yml").read_text("utf-8") == before
    for was, now in zip_longest(before.splitlines(), path.read_text("utf-8").splitlines()):
        assert was == now or "calculated: true" in now
        assert ("#" in was) == ("#" in now)


def test_the_file_before_is_never_replaced(beside):
    path = beside("wren")
    first = path.read_bytes()
    run("size", path, "--write", "--only", "water supply")
    second = path.read_bytes()
    run("size", path, "--write")
    assert (path.parent / "van.before-1.yml").read_bytes() == first
    assert (path.parent / "van.before-2.yml").read_bytes() == second
    run("size", path, "--write")  # nothing is open any more, so that nothing is written or kept
    assert not (path.parent / "van.before-3.yml").exists()


def test_a_named_size_alone(beside):
    path = beside("wren")
    before = path.read_text("utf-8").splitlines()
    run("size", path, "--write", "--only", "solar-out")
    after = path.read_text("utf-8").splitlines()
    changed = [now for was, now in zip(before, after, strict=True) if was != now]
    assert len(changed) == 1
    assert changed[0].lstrip().startswith("- {id: solar-out,")
    told = run("size", path, "--write", "--only", "solar-uot", status=2)
    assert "no size is proposed for 'solar-uot'" in told


def test_a_dry_run_shows_the_difference_and_writes_nothing(beside):
    path = beside("heron")
    before = path.read_bytes()
    told = run("size", path, "--write", "--dry-run")
    assert path.read_bytes() == before
    assert [entry.name for entry in path.parent.glob("*.before-*")] == []
    added = [line[1:] for line in told.splitlines() if line.startswith("+") and not line.startswith("+++")]
    run("size", path, "--write")
    text = path.read_text("utf-8")
    assert set(added) <= set(text.splitlines())
    assert sum(line.count("calculated: true") for line in added) == text.count("calculated: true") > 20


def test_a_size_that_is_not_enough_stays_open(tmp_path):
    path = tmp_path / "van.yml"
    van = _Van(Random(1), 3).file()
    first = van["circuits"][0]
    first["fuse"].pop("rating", None)
    first["cable"].pop("area", None)
    for fed in [first["load"]] if isinstance(first["load"], str) else first["load"]:
        van["loads"][fed] = {"name": fed, "place": "wall", "current": "90 A"}
    path.write_text(yaml.safe_dump(van, sort_keys=False), "utf-8")
    found = proposals(judged(path)).items
    unfit = [item.subject for item in found if not item.fits]
    assert unfit, "no blade fuse is made for 90 A"
    told = run("size", path, "--write", status=1)
    assert f"No size is enough for '{unfit[0]}'" in told
    assert {item.subject for item in proposals(judged(path)).items} >= set(unfit)
    assert "no size is enough for" in run("revise", path, "--why", "first", status=2)


@pytest.mark.parametrize("command", ["revise", "service"])
def test_a_revision_states_every_size(command, beside):
    path = beside("wren")
    before = path.read_bytes()
    for entered in ("", "n\n"):
        told = run(command, path, entered=entered, status=2)
        assert f"vandoc size {path} --write" in told
        assert path.read_bytes() == before
        assert not (path.parent / "revisions").exists() or path.read_bytes() == before
    run("revise", path, "--why", "handed over", entered="y\n")
    assert proposals(judged(path)).items == ()
    assert (path.parent / "van.before-1.yml").read_bytes() == before


@pytest.mark.parametrize("seed", range(20))
def test_no_fail_is_left_that_a_proposed_size_could_cure(seed, tmp_path):
    """Sizes of generated vans are left open: what then fails must not be cured by another size of ours."""
    van = _Van(Random(seed), None).file()
    laid = [circuit["cable"] for circuit in van["circuits"]]  # one cable, or a chain of segments
    for run_ in [
        *van["cables"],
        *(part for one in laid for part in (one if isinstance(one, list) else [one])),
    ]:
        run_.pop("area", None)
    for circuit in van["circuits"]:
        circuit["fuse"].pop("rating", None)
    path = tmp_path / "van.yml"
    path.write_text(yaml.safe_dump(json.loads(json.dumps(van)), sort_keys=False), "utf-8")  # no aliases
    first = judged(path)
    ours = {item.key for item in proposals(first).items}
    assert ours
    run("size", path, "--write", status=1 if fails(first) else 0)
    second = judged(path)
    assert proposals(second).items == ()
    curable = [
        (finding.rule, finding.subject, finding.nearest.text)
        for finding in fails(second)
        if finding.nearest and finding.nearest.key in ours
    ]
    assert curable == []


def test_one_more_load_changes_its_own_circuit_alone(beside):
    path = beside("heron")
    run("size", path, "--write")
    old = judged(path)
    text = path.read_text("utf-8")
    board, television = "board-24", "{name: television, place: panel, current: 1 A}"
    text = text.replace("\nloads:\n", f"\nloads:\n  television: {television}\n", 1)
    text = text.replace(
        "\ncircuits:\n",
        f"\ncircuits:\n  - {{id: television, fuse: {{board: {board}, position: 8}}, cable: {{length: 2 m}},"
        " load: television, return: minus-panel}\n",
        1,
    )
    path.write_text(text, "utf-8")
    new = judged(path)
    assert {item.subject.split()[0] for item in proposals(new).items} <= {"television", f"{board}.8"}
    changes = compare(old, new)
    assert {change.name for change in changes.stated} == {"television"}
    assert [label for label in changes.labels if label.kind != "code"] == []
    sized = {ident: one.size for ident, one in old.sizing.conductors.items()}
    assert {ident: new.sizing.conductors[ident].size for ident in sized} == sized
