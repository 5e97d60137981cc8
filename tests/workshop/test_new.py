"""A new van below the folder of a workshop takes its contact from there."""

from pathlib import Path

from click.testing import CliRunner

from vandoc.doors.cli import main
from vandoc.reading.loader import load


def new(folder: Path, status: int = 0) -> str:
    done = CliRunner().invoke(main, ["new", str(folder), "--no-input"])
    assert done.exit_code == status, done.output
    return done.output


def test_the_contact_of_the_workshop_file_is_not_repeated(tmp_path):
    (tmp_path / "workshop.yml").write_text('name: "Fen: Vans"\nphone: "+44 1632 960 961"\n', "utf-8")
    new(tmp_path / "vans/teal")
    own = load(tmp_path / "vans/teal/van.yml").system.workshop
    assert (own.name, own.phone) == ("Fen: Vans", "+44 1632 960 961")
    assert "\nworkshop:" not in (tmp_path / "vans/teal/van.yml").read_text("utf-8")


def test_a_workshop_file_without_a_name_leaves_it_to_the_van_file(tmp_path):
    (tmp_path / "workshop.yml").write_text("bases: [ISO 13297]\n", "utf-8")
    new(tmp_path / "teal")
    assert load(tmp_path / "teal/van.yml").system.workshop.name == "My workshop"


def test_a_faulty_workshop_file_is_told_before_anything_is_written(tmp_path):
    (tmp_path / "workshop.yml").write_text("name: 7\n", "utf-8")
    assert "workshop.yml:1:7: name: 7 is not valid here" in new(tmp_path / "teal", 2)
    assert not (tmp_path / "teal").exists()
