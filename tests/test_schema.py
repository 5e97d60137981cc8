"""The schema that editors use, judged by an independent validator."""

import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from vandoc.doors.cli import main
from vandoc.reading.schema import json_schema, workshop_schema
from vandoc.reading.yamltree import parse

SITES = Path(__file__).parents[1] / "sites"
VANS = sorted(SITES.glob("*/van.yml"))


def plain(path):
    return parse(path.read_text(encoding="utf-8"), path.name).plain()


@pytest.fixture(scope="module")
def validator():
    return jsonschema.Draft202012Validator(json_schema())


def test_it_is_a_valid_schema_of_its_draft():
    jsonschema.Draft202012Validator.check_schema(json_schema())
    assert json_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_the_published_copy_is_up_to_date():
    assert json.loads((SITES / "van.schema.json").read_text(encoding="utf-8")) == json_schema()


@pytest.mark.parametrize("path", VANS, ids=lambda path: path.parent.name)
def test_demo_vans_validate_and_name_the_schema_for_editors(path, validator):
    assert [error.message for error in validator.iter_errors(plain(path))] == []
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first == "# yaml-language-server: $schema=../van.schema.json"
    assert (path.parent / first.partition("=")[2]).resolve() == SITES / "van.schema.json"


WRONG = [
    (("van", "nominal"), 12, "bare number"),
    (("van", "colour"), "red", "unknown key"),
    (("places", "Seat Box"), {"label": "x", "at": {"back": "1 m", "across": "1 m"}}, "unfit name"),
    (("equipment", "isolator"), {"kind": "isolator", "name": "x", "place": "seat-box"}, "no rating"),
    (("equipment", "isolator"), {"part": "x.yml"}, "no place"),
    (("equipment", "isolator"), {"kind": "clock", "name": "x", "place": "seat-box"}, "unknown kind"),
    (("loads", "pump"), {"place": "sink"}, "no name and no part sheet"),
]


@pytest.mark.parametrize(("trail", "value", "_why"), WRONG, ids=[why for *_, why in WRONG])
def test_it_refuses_what_the_loader_refuses(trail, value, _why, validator):
    van = plain(SITES / "curlew" / "van.yml")
    *parents, last = trail
    entry = van
    for step in parents:
        entry = entry[step]
    entry[last] = value
    assert not validator.is_valid(van)


def test_a_part_sheet_may_supply_all_but_the_place(validator):
    van = plain(SITES / "curlew" / "van.yml")
    van["equipment"]["isolator"] = {"part": "../parts/isolator.yml", "place": "seat-box"}
    van["loads"]["pump"] = {"part": "../parts/water-pump.yml", "place": "sink"}
    assert validator.is_valid(van)


def test_it_says_nothing_of_the_machine():
    assert "/" not in json_schema()["$id"]
    assert str(Path.cwd()) not in json.dumps(json_schema())


@pytest.fixture(scope="module")
def workshop():
    return jsonschema.Draft202012Validator(workshop_schema())


def test_that_of_a_workshop_file_accepts_one_and_refuses_what_the_loader_refuses(workshop):
    jsonschema.Draft202012Validator.check_schema(workshop_schema())
    kept = plain(Path(__file__).parent / "formats/2/workshop/workshop.yml")
    assert [error.message for error in workshop.iter_errors(kept)] == []
    for key, value in (
        ("colour", "red"),
        ("language", "German"),
        ("bases", ["DIN 1"]),
        ("limits", {"fuse_load": 0.7}),
    ):
        assert not workshop.is_valid({**kept, key: value}), key


def test_what_a_workshop_file_supplies_may_be_left_out_of_a_van_file(validator):
    van = plain(SITES / "curlew" / "van.yml")
    del van["workshop"]
    assert validator.is_valid(van)
    assert validator.is_valid({**van, "workshop": {"hours": "9 to 5"}})
    assert not validator.is_valid({**van, "house": {}})


def test_the_command_prints_either():
    run = CliRunner().invoke
    assert json.loads(run(main, ["schema"]).output) == json_schema()
    assert json.loads(run(main, ["schema", "--workshop"]).output) == workshop_schema()
