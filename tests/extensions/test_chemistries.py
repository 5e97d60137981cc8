"""Chemistries of packages of others are added and named; they never replace or change one of ours."""

import json
import os
import subprocess
import sys
from datetime import date
from html import unescape

import pytest
import yaml
from click.testing import CliRunner

import vandoc
from tests.chemistries.added import FOLDER, NAMES
from tests.conftest import ROOT
from tests.extensions.conftest import write_package
from tests.says.vans import small
from vandoc.doors.cli import main
from vandoc.ground.chemistry import known
from vandoc.ground.errors import ExtensionError, SystemFileError
from vandoc.ground.extensions import ignored
from vandoc.reading.archive import keep

POINTS = {"vandoc.chemistries": "marsh_cells"}
CELLS = {f"marsh_cells/{file.name}": file.read_text("utf-8") for file in sorted(FOLDER.glob("*.yml"))}
OURS = ["flooded", "EFB", "AGM", "gel", "lead-carbon", "LiFePO4", "NMC", "LTO", "sodium-ion"]
NOT_VALID = (
    "'NCA' is not valid here; use 'flooded', 'EFB', 'AGM', 'gel', 'lead-carbon', 'LiFePO4', 'NMC', 'LTO' or "
    "'sodium-ion'"
)
NEW = ["NCA", "novel", "Na-ion"]  # by file


@pytest.fixture
def van_file(tmp_path):
    def write(key):
        file = tmp_path / "van.yml"
        stated = small(leisure=[key], has=["isolator"])
        file.write_text(yaml.safe_dump(stated, allow_unicode=True, sort_keys=False), "utf-8")
        return file

    return write


def test_a_chemistry_of_a_package_is_added_after_ours_and_named(install, van_file):
    install("marsh-cells", "1.0", POINTS, CELLS)
    assert list(known()) == [
        "flooded",
        "EFB",
        "AGM",
        "gel",
        "lead-carbon",
        "LiFePO4",
        "NMC",
        "LTO",
        "sodium-ion",
        *NEW,
    ]
    assert {str(known()[key].package) for key in NEW} == {"marsh-cells 1.0"}
    assert known()["AGM"].package is None
    van = vandoc.read(van_file("novel"))
    (finding,) = [one for one in vandoc.check(van) if one.rule == "chemistry-not-known"]
    assert "(novel, from the package marsh-cells 1.0)" in finding.message
    with ignored():
        assert list(known()) == OURS


@pytest.mark.parametrize("key", NEW)
def test_pages_name_the_package_and_a_revision_records_it(install, van_file, key):
    install("marsh-cells", "1.0", POINTS, CELLS)
    file = van_file(key)
    keep(file, "first", date(2026, 5, 12))
    pages = {path: unescape(str(text)) for path, text in vandoc.manual_pages(vandoc.read(file)).items()}
    assert (
        "The package marsh-cells 1.0 tells this manual about batteries of this kind." in pages["battery.md"]
    )
    assert "Packages of others in use: marsh-cells 1.0." in pages["electrician/changes.md"]
    assert "Packages of others added to this manual: marsh-cells 1.0." in pages["electrician/rules.md"]


def test_editors_offer_it_and_a_van_without_the_package_is_told(van_file):
    """In processes of their own, as when the package is installed."""
    folder = write_package(van_file("NCA").parent / "installed", "marsh-cells", "1.0", POINTS, CELLS)
    env = os.environ | {"PYTHONPATH": f"{ROOT}{os.pathsep}{folder}"}

    def run(*options):
        command = [sys.executable, "-m", "vandoc", *options]
        return subprocess.run(command, capture_output=True, text=True, env=env, cwd=ROOT, check=False)

    schema = run("schema").stdout
    assert all(f'"{key}"' in schema for key in NEW)
    assert not any(f'"{key}"' in run("--no-plugins", "schema").stdout for key in NEW)
    (found,) = json.loads(run("check", "--format", "json", str(van_file("NCA"))).stdout)["vans"]
    assert found["findings"]
    without = run("--no-plugins", "check", str(van_file("NCA")))
    assert without.returncode == 2
    assert NOT_VALID in without.stdout + without.stderr


def test_a_van_that_names_a_chemistry_that_is_not_there_is_told_with_its_place(van_file):
    with pytest.raises(
        SystemFileError, match=r"van\.yml:\d+:\d+: equipment\.house-0\.chemistry: 'NCA' is not valid"
    ):
        vandoc.read(van_file("NCA"))


REFUSED = {
    "one of ours": (CELLS | {"marsh_cells/nmc.yml": "key: AGM\ngassing: false"}, "a chemistry 'AGM' already"),
    "one twice": (CELLS | {"marsh_cells/nmc.yml": "key: novel"}, "a chemistry 'novel' already"),
    "no chemistry": ({"marsh_cells/notes.txt": ""}, "there is no chemistry in marsh_cells"),
    "no names": ({"marsh_cells/x.yml": "key: x"}, "its words are missing"),
    "no trait": (CELLS | {"marsh_cells/nmc.yml": "key: x\nsafe: true"}, "not traits of a chemistry: safe"),
    "no YAML": (CELLS | {"marsh_cells/nmc.yml": "key: ["}, "nmc.yml"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_a_package_that_would_replace_or_is_faulty_is_refused_by_name(install, van_file, case):
    contents, reason = REFUSED[case]
    install("marsh-cells", "1.0", POINTS, contents)
    with pytest.raises(ExtensionError, match=rf"(?s)package marsh-cells 1\.0: .*{reason}.*--no-plugins"):
        known()
    result = CliRunner().invoke(main, ["check", str(van_file("AGM"))])
    assert result.exit_code == 2
    assert result.output.startswith("package marsh-cells 1.0: ")
    assert "marsh" not in CliRunner().invoke(main, ["--no-plugins", "check", str(van_file("AGM"))]).output


def test_the_files_of_the_test_are_those_of_the_other_tests():
    assert len(CELLS) == 2 * len(NAMES)
