"""A kind of equipment in a package of others is known while that is installed and not ignored."""

import inspect
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

import vandoc
from tests.kinds import run_on_timer
from vandoc.doors.cli import main
from vandoc.ground.errors import ExtensionError, SystemFileError
from vandoc.ground.extensions import ignored
from vandoc.model import kinds
from vandoc.reading.archive import keep

CODE = Path(inspect.getfile(run_on_timer))
VAN = CODE.with_name("van.yml")
POINTS = {"vandoc.kinds": "marsh_kinds.run_on_timer"}


def files(code: str | None = None) -> dict[str, str]:
    return {
        "marsh_kinds/run_on_timer.py": code or CODE.read_text("utf-8"),
        "marsh_kinds/run_on_timer.en.yml": CODE.with_name("run_on_timer.en.yml").read_text("utf-8"),
    }


@pytest.fixture(autouse=True)
def forgotten():
    yield
    with ignored():
        kinds.follow_packages()


def test_a_van_file_may_name_it_and_its_page_names_the_package(install):
    install("marsh-kinds", "0.3", POINTS, files())
    made = vandoc.manual_pages(vandoc.read(VAN))
    page = unescape(made["electrician/piece/timer.md"])
    assert "This type of equipment was added by the package marsh-kinds 0.3." in page
    assert "added by the package" not in made["electrician/piece/isolator.md"]
    schema = CliRunner().invoke(main, ["schema"])
    assert "run-on-timer" in schema.output


def test_a_revision_records_the_package(install, tmp_path):
    install("marsh-kinds", "0.3", POINTS, files())
    van_file = tmp_path / "teal/van.yml"
    van_file.parent.mkdir()
    van_file.write_text(VAN.read_text("utf-8"), "utf-8")
    keep(van_file, "handed over", vandoc.read(van_file).system.van.built)
    (kept,) = vandoc.read(van_file).revisions
    assert [str(one) for one in kept.packages] == ["marsh-kinds 0.3"]


def test_it_can_be_ignored_and_is_known_again_after(install):
    install("marsh-kinds", "0.3", POINTS, files())
    vandoc.read(VAN)
    with ignored(), pytest.raises(SystemFileError, match="'run-on-timer' is not a kind of equipment"):
        vandoc.read(VAN)
    result = CliRunner().invoke(main, ["--no-plugins", "check", str(VAN)])
    assert result.exit_code == 2
    assert "'run-on-timer' is not a kind of equipment" in result.output
    assert vandoc.read(VAN).system.equipment["timer"].kind == "run-on-timer"


def test_it_never_takes_the_place_of_ours(install):
    code = CODE.read_text("utf-8").replace('"run-on-timer"', '"switch"')
    install("marsh-kinds", "0.3", POINTS, files(code))
    with pytest.raises(ExtensionError, match=r"marsh-kinds 0\.3: .*there is a kind 'switch' of equipment"):
        vandoc.read(VAN)


def test_a_package_without_a_kind_is_told(install):
    install("marsh-kinds", "0.3", POINTS, files('"""Nothing."""\n'))
    with pytest.raises(ExtensionError, match=r"marsh-kinds 0\.3: .*holds no kind of equipment"):
        vandoc.read(VAN)
