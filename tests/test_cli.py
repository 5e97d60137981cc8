"""The command line: what each command prints and how it ends."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tests.conftest import DEMO_VANS, ROOT
from tests.recording.vans import SMALL
from vandoc import __version__
from vandoc.doors.cli import main


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(ROOT / "sites", tmp_path / "sites")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> Result:
    result = CliRunner().invoke(main, list(words))
    assert result.exception is None or isinstance(result.exception, SystemExit), result.output
    return result


def replace(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


def test_version_is_shown():
    assert run("--version").output == f"{__version__}\n"


@pytest.mark.usefixtures("here")
def test_check_of_faultless_vans_ends_with_0():
    result = run("check", *sorted(str(path.relative_to(ROOT)) for path in DEMO_VANS))
    assert result.exit_code == 0
    assert "sites/curlew/van.yml: 0 fail," in result.output


def test_check_of_a_failing_van_ends_with_1_and_says_where(here):
    replace(here / "sites/wren/van.yml", "regulation: fixed", "regulation: smart")
    result = run("check", "sites/wren/van.yml")
    assert result.exit_code == 1
    assert any(
        line.startswith("sites/wren/van.yml:") and ": fail: " in line for line in result.output.splitlines()
    )


def test_check_of_an_unusable_file_ends_with_2_and_still_checks_the_others(here):
    replace(here / "sites/wren/van.yml", "nominal: 12 V", "nominal: 12 kg")
    result = run("check", "sites/wren/van.yml", "sites/heron/van.yml", "nowhere.yml")
    assert result.exit_code == 2
    assert "'12 kg' is not a voltage; write it like '12 V'" in result.stderr
    assert "nowhere.yml:1:1: file not found" in result.stderr
    assert "sites/heron/van.yml: 0 fail" in result.stdout


def only(result):
    """The entry of the one van of a JSON report."""
    report = json.loads(result.stdout)
    assert set(report) == {"format", "vans"}
    assert report["format"] == 1
    (van,) = report["vans"]
    return van


def test_json_has_one_shape_for_several_vans_and_for_files_that_cannot_be_used(here):
    replace(here / "sites/wren/van.yml", "nominal: 12 V", "nominal: 12 kg")
    result = run("check", "--format", "json", "sites/wren/van.yml", "sites/heron/van.yml", "nowhere.yml")
    assert result.exit_code == 2
    report = json.loads(result.stdout)
    assert report["format"] == 1
    wren, heron, nowhere = report["vans"]
    assert [van["file"] for van in report["vans"]] == [
        "sites/wren/van.yml", "sites/heron/van.yml", "nowhere.yml"
    ]  # fmt: skip
    assert set(heron) == {"file", "van", "findings"}
    (error,) = wren["errors"]
    assert set(wren) == set(nowhere) == {"file", "errors"}
    assert set(error) == {"file", "line", "column", "message"}
    line = (here / "sites/wren/van.yml").read_text("utf-8").splitlines()[error["line"] - 1]
    assert line[error["column"] - 1 :].startswith("12 kg")
    assert "'12 kg' is not a voltage" in error["message"]
    assert only(run("size", "--format", "json", "sites/wren/van.yml"))["errors"] == wren["errors"]


@pytest.mark.usefixtures("here")
def test_check_as_json_has_the_documented_shape():
    report = only(run("check", "--format", "json", "sites/heron/van.yml"))
    assert set(report) == {"file", "van", "findings"}
    assert report["file"] == "sites/heron/van.yml"
    assert report["van"] == "Heron"
    keys = {
        "rule",
        "severity",
        "subject",
        "message",
        "value",
        "limit",
        "unit",
        "source",
        "file",
        "line",
        "column",
    }
    for finding in report["findings"]:
        assert keys <= set(finding)
        assert finding["severity"] in ("fail", "review", "note")
        assert finding["file"].startswith("sites/")
        assert finding["line"] >= 1
        assert finding["column"] >= 1


def test_check_of_a_failing_van_names_the_nearest_change(here):
    old = "position: 2, rating: 10 A}\n    cable: {length: 2 m, area: 4 mm²}"
    replace(here / "sites/curlew/van.yml", old, old.replace("10 A", "40 A"))
    text = run("check", "sites/curlew/van.yml").stdout
    assert "    passes with: 25 A instead of 40 A for 'fuse 2 of the kitchen fuse box'\n" in text
    report = only(run("check", "--format", "json", "sites/curlew/van.yml"))
    fails = {finding["rule"]: finding for finding in report["findings"] if finding["severity"] == "fail"}
    failed = fails["fuse-above-capacity"]
    assert failed["nearest"] == {
        "text": "passes with: 25 A instead of 40 A for 'fuse 2 of the kitchen fuse box'",
        "key": "circuits[9].fuse.rating",
        "now": "40 A",
        "then": "25 A",
    }
    others = [finding for finding in report["findings"] if finding["severity"] != "fail"]
    assert all(finding["nearest"] is None for finding in others)


@pytest.mark.usefixtures("here")
def test_size_lists_what_is_proposed_and_why():
    result = run("size", "sites/wren/van.yml")
    lines = result.stdout.splitlines()
    assert lines[0] == "Fuses"
    assert any(
        line.split()[:3] == ["board.6", "3", "A"] and "continuous current: 2 A / 80 %" in line
        for line in lines
    )
    assert any(line.startswith("Copper: ") for line in lines)


@pytest.mark.usefixtures("here")
def test_size_as_json_has_the_documented_shape():
    result = run("size", "--format", "json", "sites/heron/van.yml")
    report = only(result)
    assert set(report) == {
        "file", "van", "items", "copper_proposed_mm2_m", "copper_all_mm2_m", "findings"
    }  # fmt: skip
    keys = {"what", "subject", "key", "value", "unit", "decided", "reason", "copper_mm2_m", "fits"}
    assert report["items"]
    assert all(set(item) == keys for item in report["items"])
    assert {item["what"] for item in report["items"]} <= {"battery", "charger", "fuse", "cable"}
    cables = [item["copper_mm2_m"] for item in report["items"] if item["what"] == "cable"]
    assert cables == sorted(cables)
    assert sum(cables) == pytest.approx(report["copper_proposed_mm2_m"])
    assert report["copper_all_mm2_m"] > report["copper_proposed_mm2_m"]
    assert result.exit_code == (1 if report["findings"] else 0)


def test_size_proposes_a_battery_and_a_charger_that_are_left_open(here):
    replace(here / "sites/wren/van.yml", "    capacity: 110 Ah\n", "")
    replace(here / "sites/parts/solar-controller.yml", "output: 20 A\n", "")
    text = run("size", "sites/wren/van.yml").stdout
    assert text.startswith("Batteries\n  house  ")
    assert "Chargers\n  solar  " in text


def test_size_says_what_is_missing_for_a_proposal(here):
    replace(here / "sites/wren/van.yml", "    capacity: 110 Ah\n", "")
    replace(here / "sites/wren/van.yml", "  nights: 1\n", "")
    result = run("size", "sites/wren/van.yml")
    assert result.exit_code == 2
    assert (
        "equipment.house: 'capacity' is missing; state it, or state 'use.nights' to have a value proposed"
        in result.stderr
    )


def test_build_of_several_vans_shows_progress(here):
    for name in ("tern", "teal", "wigeon"):
        (here / name).mkdir()
        (here / name / "van.yml").write_text(SMALL, "utf-8")
    result = run("build", "tern/van.yml", "teal/van.yml", "wigeon/van.yml", "--out", "manuals", "--draft")
    assert result.exit_code == 0, result.output
    assert "2 of 3: teal/van.yml" in result.stdout
    assert sorted(path.name for path in (here / "manuals").iterdir()) == ["teal", "tern", "wigeon"]


def test_build_refuses_two_manuals_of_one_name(here):
    shutil.copytree(here / "sites/wren", here / "elsewhere/wren")
    result = run("build", "sites/wren/van.yml", "elsewhere/wren/van.yml", "--out", "manuals")
    assert result.exit_code == 2
    assert not (here / "manuals").exists()


def test_build_of_a_failing_van_ends_with_1(here):
    replace(here / "sites/wren/van.yml", "regulation: fixed", "regulation: smart")
    result = run("build", "sites/wren/van.yml", "--out", "manuals")
    assert result.exit_code == 1
    assert "sites/wren/van.yml: not built because checks failed" in result.stderr
    assert not (here / "manuals/wren").exists()


@pytest.mark.usefixtures("here")
def test_schema_is_json():
    assert json.loads(run("schema").stdout)["type"] == "object"


def test_new_writes_a_van_that_builds_as_it_is(here):
    result = run("new", "sites/teal", "--no-input")
    assert result.exit_code == 0, result.output
    assert run("check", "sites/teal/van.yml").exit_code == 0
    assert run("build", "sites/teal/van.yml", "--out", "manuals").exit_code == 0
    assert (here / "manuals/teal/index.html").is_file()


def test_new_never_replaces_a_van_file(here):
    before = (here / "sites/wren/van.yml").read_bytes()
    result = run("new", "sites/wren", "--no-input")
    assert result.exit_code == 2
    assert (here / "sites/wren/van.yml").read_bytes() == before


@pytest.mark.usefixtures("here")
def test_prove_says_how_many_faults_its_trees_find():
    result = run("prove", "sites/wren/van.yml", "--pairs", "5", "--runs", "0")
    assert result.exit_code == 0
    assert result.output.startswith("sites/wren/van.yml: 160 of 160 faults found, average ")
    assert "two faults at once: " in result.output


@pytest.mark.usefixtures("here")
def test_prove_in_sampled_states_says_what_is_located_and_fails_if_a_limit_is_missed():
    asked = ("prove", "sites/wren/van.yml", "--pairs", "0", "--runs", "3", "--seed", "5")
    text, data = run(*asked), run(*asked, "--format", "json")
    sampled = json.loads(data.output)["vans"][0]["sampled"]
    assert sampled["seed"] == 5
    assert text.exit_code == data.exit_code == (1 if sampled["missed"] else 0)
    assert "sampled states (seed 5), electrician, " in text.output
    assert ("limit missed: " in text.output) == bool(sampled["missed"])
    assert ("every limit met" in text.output) != bool(sampled["missed"])
    located = {one["symptom"]: one["located"] for one in sampled["groups"] if one["reader"] == "electrician"}
    assert located["stopped"]["runs"] >= 20
    for share in located.values():
        assert 0 <= share["interval"][0] <= share["share"] <= share["interval"][1] <= 1
    lines = text.output.splitlines()
    table = lines[next(n for n, line in enumerate(lines) if "sampled states (seed" in line) :][: len(located)]
    assert max(map(len, table)) <= 80


@pytest.mark.usefixtures("here")
def test_prove_of_an_unusable_file_ends_with_2():
    result = run("prove", "nowhere.yml")
    assert result.exit_code == 2
    assert "nowhere.yml:1:1: file not found" in result.stderr
