"""Designations are given once: nothing renumbers them, and no number is given twice."""

import shutil
from copy import deepcopy

import pytest
import yaml
from click.testing import CliRunner

from tests.vans.small import SMALL, put_into
from vandoc.analysis import Van
from vandoc.doors.cli import main
from vandoc.ground.errors import SystemFileError
from vandoc.judgement.proposals.designations import class_letters, proposed_designations
from vandoc.model.designations import designated, of_conductor, of_fuse
from vandoc.model.kinds import kinds
from vandoc.reading.loader import load


def run(*args):
    return CliRunner().invoke(main, [str(arg) for arg in args])


@pytest.fixture
def van_file(tmp_path):
    return put_into(tmp_path)


def given(van_file):
    return {path: found for path, found in designated(load(van_file).system) if found is not None}


# From two published overviews of IEC 81346-2:2019; the document itself was not read (from memory).
LETTERS = {
    "battery": "C",  # storing
    "alternator": "G",  # generating a flow
    "solar-array": "G",
    "fuse": "F",  # protecting
    "circuit-breaker": "F",
    "isolator": "Q",  # controlling a flow
    "switch": "Q",
    "relay": "Q",
    "charger": "T",  # transforming
    "inverter": "T",
    "converter": "T",
    "busbar": "W",  # guiding
    "earth-point": "X",  # connecting
    "shunt": "B",  # sensing
    "monitor": "P",  # presenting information
    "fuse-board": "U",  # holding
}


def test_each_kind_has_the_letter_of_its_class():
    found = {name: kind.class_letter for name, kind in kinds().items()}
    assert LETTERS.items() <= found.items()
    nobody_knows = {name for name, letter in found.items() if letter is None}
    assert nobody_knows == {"unidentified", "unseen"}
    assert set(found.values()) - {None} <= set(class_letters())


def test_letters_that_the_standard_keeps_back_are_refused(van_file):
    """A, I and O are not used; D, J, L, V, Y and Z are kept for later (published overview)."""
    for letter in "AIODJLVYZ":
        assert run("designate", van_file, "--letter", f"light={letter}").exit_code == 2


def test_a_class_that_is_not_known_is_asked_for(van_file):
    data = yaml.safe_load(van_file.read_text("utf-8"))
    data["loads"]["radio"] = {**deepcopy(data["loads"]["light"]), "name": "radio", "importance": "general"}
    data["circuits"][0]["load"] = [data["circuits"][0]["load"], "radio"]
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    asked = run("designate", van_file)
    assert "Class not known: radio." in asked.output
    run("designate", van_file, "--write")
    assert ("loads", "radio") not in given(van_file)
    run("designate", van_file, "--write", "--letter", "radio=P")
    assert given(van_file)["loads", "radio"] == "P1"


def test_they_are_written_once_and_the_rest_stays(van_file):
    before = van_file.read_text("utf-8")
    assert run("designate", van_file).exit_code == 0
    assert van_file.read_text("utf-8") == before
    assert run("designate", van_file, "--write").exit_code == 0
    first, plain = given(van_file), yaml.safe_load(van_file.read_text("utf-8"))
    assert len(first) == len(set(first.values())) > 10
    for section in ("equipment", "loads", "cables", "circuits"):
        items = plain[section]
        for item in items.values() if isinstance(items, dict) else items:
            item.pop("designation", None)
    assert plain == yaml.safe_load(before)
    assert van_file.with_name("van.before-1.yml").read_text("utf-8") == before
    assert run("designate", van_file, "--write").exit_code == 0
    assert given(van_file) == first


def test_a_new_item_gets_the_next_number_and_no_other_changes(van_file):
    run("designate", van_file, "--write")
    first = given(van_file)
    data = yaml.safe_load(van_file.read_text("utf-8"))
    cable = {**data["cables"][0], "id": "another"}
    cable.pop("designation")
    data["cables"].insert(0, cable)
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    run("designate", van_file, "--write")
    names = {found: path for path, found in given(van_file).items()}
    assert names.pop(next(found for found, path in names.items() if path == ("cables", 0))) == ("cables", 0)
    assert set(names) == set(first.values())


def test_the_number_of_a_removed_item_is_not_given_again(van_file):
    """The archived revision still has it, and so has the label in the van."""
    run("size", van_file, "--write")
    run("designate", van_file, "--write")
    archived = run("revise", van_file, "--why", "handed over")
    assert archived.exit_code == 0, archived.output
    data = yaml.safe_load(van_file.read_text("utf-8"))
    gone = data["loads"]["light"].pop("designation")
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    from vandoc.doors.build import read

    found = {item.name: item.designation for item in proposed_designations(read(van_file), {})}
    assert found["light"] not in (None, gone)


def test_two_items_cannot_have_the_same(van_file):
    text = van_file.read_text("utf-8")
    data = yaml.safe_load(text)
    first, second = list(data["equipment"].values())[:2]
    first["designation"] = second["designation"] = "X1"
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    with pytest.raises(SystemFileError, match="'X1' is already the designation"):
        load(van_file)


@pytest.mark.parametrize("text", ["=F1", "-F1", "F", "F0", "f1", "I1", "O2", "F1 "])
def test_what_is_no_designation_is_refused(text, tmp_path):
    van_file = tmp_path / "van.yml"
    shutil.copy(SMALL, van_file)
    data = yaml.safe_load(van_file.read_text("utf-8"))
    next(iter(data["equipment"].values()))["designation"] = text
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    with pytest.raises(SystemFileError, match="one to three capital letters"):
        load(van_file)


def test_fuses_and_conductors_get_theirs_from_what_they_belong_to(van_file):
    run("designate", van_file, "--write")
    van = Van.of(load(van_file))
    for fuse in van.network.fuses.values():
        own = van.system.equipment[fuse.owner].designation
        wanted = own if fuse.position is None else f"{own}-F{fuse.position}"
        assert of_fuse(van.system, fuse.owner, fuse.position) == wanted
    found = [of_conductor(van.system, c.trail, c.role) for c in van.network.conductors.values()]
    assert len(found) == len(set(found))
    assert all(found)
