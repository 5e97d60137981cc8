# ruff: noqa: E501 - each refusal stands in one line, as it is printed
"""A file that cannot be used gets every fault at once, each with its place, and never a traceback."""

import json
import os
import re
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from vandoc.ground.errors import Location, Problem, SystemFileError
from vandoc.reading.loader import load

SITES = Path(__file__).parents[1] / "sites"
GOOD = """\
van:
  name: Tern
  nominal: 12 V
  size: {length: 5 m, width: 2 m, driver: left}
workshop: {name: Somebody}
places:
  box: {label: under the seat, at: {back: 1 m, across: 1 m}}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 100 Ah}
  main: {kind: fuse, name: main fuse, place: box, family: C, rating: 10 A}
  board: {kind: fuse-board, name: board, place: box, family: C, rows: 1, columns: 4}
loads:
  lamp: {name: lamp, place: box, power: 10 W}
cables:
  - {from: house.+, to: main.in, length: 0.1 m}
  - {from: main.out, to: board.in, length: 1 m}
circuits:
  - id: lamp
    fuse: {board: board, position: 1}
    cable: {length: 2 m}
    load: lamp
    return: house.-
"""


def changed(old: str, new: str) -> str:
    assert GOOD.count(old) == 1, f"{old!r} must stand once"
    return GOOD.replace(old, new)


@pytest.fixture
def refusal(tmp_path):
    """Write a van file and return the lines of its refusal."""

    def refuse(content: str | bytes, name: str = "van.yml") -> list[str]:
        (tmp_path / name).write_bytes(content if isinstance(content, bytes) else content.encode())
        with pytest.raises(SystemFileError) as caught:
            load(tmp_path / name, tmp_path)
        assert str(caught.value).splitlines() == [str(problem) for problem in caught.value.problems]
        assert caught.value.problems == tuple(sorted(caught.value.problems)), "not in file order"
        return str(caught.value).splitlines()

    return refuse


def test_the_good_file_is_good(tmp_path):
    (tmp_path / "van.yml").write_text(GOOD)
    assert load(tmp_path / "van.yml").system.van.name == "Tern"


@pytest.mark.parametrize("content", [b"\xef\xbb\xbf" + GOOD.encode(), GOOD.replace("\n", "\r\n").encode()])
def test_a_byte_order_mark_and_windows_line_ends_are_fine(content, tmp_path):
    (tmp_path / "van.yml").write_bytes(content)
    assert load(tmp_path / "van.yml").system.loads["lamp"].power_w == 10


# Content, and the whole refusal.
NOT_A_VAN_FILE = {
    "syntax": (changed("{name: Somebody}", "{name: Somebody"), "van.yml:6:7: this is not valid YAML: did not find expected ',' or '}'"),
    "empty": ("", "van.yml:1:1: the file is empty; create a starter file with 'vandoc new'"),
    "only a comment": ("# nothing\n", "van.yml:1:1: the file is empty; create a starter file with 'vandoc new'"),
    "null": ("~\n", "van.yml:1:1: the file is empty; create a starter file with 'vandoc new'"),
    "list": ("- a\n", "van.yml:1:1: the top level of the file must consist of 'key: value' lines"),
    "word": ("hello\n", "van.yml:1:1: the top level of the file must consist of 'key: value' lines"),
    "5 MB": (b"a: b\n" * 1_000_000, "van.yml:1:1: the file is over 1000 kB; give a van file, which is a few kilobytes of text"),
    "deep flow": ("a: " + "[" * 100_000, "van.yml:1:1003: this is not valid YAML: exceeded maximum nesting depth"),
    "deep block": ("".join(" " * n + "a:\n" for n in range(900)), "van.yml:21:21: nested more than 20 levels deep; a van file needs about six"),
    "object tag": ("a: !!python/object/apply:os.system ['true']\n", "van.yml:1:4: the tag 'tag:yaml.org,2002:python/object/apply:os.system' is not supported; remove it"),
    "own tag": ("!van\na: 1\n", "van.yml:1:1: the tag '!van' is not supported; remove it"),
    "double key": (changed("{name: Somebody}", "{name: Somebody}\nworkshop: {name: Other}"), "van.yml:6:1: 'workshop' appears twice, first on line 5; remove one"),
    "double id": (changed("loads:", "  house: {kind: busbar}\nloads:"), "van.yml:12:3: 'house' appears twice, first on line 9; remove one"),
    "Latin-1": (changed("Tern", "Tern\u00e9").encode("latin-1"), "van.yml:2:13: this byte is not UTF-8 text; save the file as UTF-8"),
    "UTF-16": (GOOD.encode("utf-16"), "van.yml:1:1: this byte is not UTF-8 text; save the file as UTF-8"),
    "tab": (changed("  name: Tern", "\tname: Tern"), "van.yml:2:1: this is not valid YAML: found character that cannot start any token; indent with spaces, not tabs"),
    "bell": (changed("Tern", "T\x07n"), "van.yml:2:10: this is not valid YAML: control characters are not allowed"),
    "zero byte": (changed("Tern", "T\x00n"), "van.yml:2:10: this is not valid YAML: control characters are not allowed"),
    "two documents": (f"{GOOD}---\na: 1\n", "van.yml:23:1: '---' starts a second document; a file describes one van"),
    "list as key": (changed("  name: Tern", "  [a]: b\n  name: Tern"), "van.yml:2:3: this cannot be a key; use a plain word"),
}  # fmt: skip


@pytest.mark.parametrize(("content", "line"), NOT_A_VAN_FILE.values(), ids=NOT_A_VAN_FILE)
def test_a_file_that_is_no_van_file_is_refused_with_one_message(content, line, refusal):
    started = time.perf_counter()
    assert refusal(content) == [line]
    assert time.perf_counter() - started < 10, "a refusal must not hang"


def test_an_alias_bomb_is_not_expanded(refusal):
    bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"{key}: &{key} [{', '.join([f'*{before}'] * 9)}]\n" for before, key in zip("abcdefgh", "bcdefghi", strict=True)
    )  # fmt: skip
    lines = refusal(bomb)
    assert len(lines) == 72
    assert (
        lines[0] == "van.yml:2:8: YAML aliases (*name) are not supported; use a part sheet for repeated items"
    )


def test_a_missing_file_a_folder_and_a_device_are_refused(tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "loop.yml").symlink_to(tmp_path / "loop.yml")
    os.mkfifo(tmp_path / "pipe.yml")
    for name, start in {
        "none.yml": "none.yml:1:1: file not found; check its path",
        "folder": "folder:1:1: this is a folder; give the van file inside it, such as van.yml",
        "loop.yml": "loop.yml:1:1: ",
        "pipe.yml": "pipe.yml:1:1: this is not a regular file; give a van file",
        "a" * 300: f"{'a' * 300}:1:1: the file cannot be read",
    }.items():
        with pytest.raises(SystemFileError) as caught:
            load(tmp_path / name, tmp_path)
        assert str(caught.value).startswith(start)


# What stands in place of the second cable's length, and what is said of it.
LENGTHS = {
    ".inf": "'.inf' needs a number and a unit; write it like '4.2 m'",
    ".nan": "'.nan' needs a number and a unit; write it like '4.2 m'",
    "inf m": "'inf m' needs a number and a unit; write it like '4.2 m'",
    "nan m": "'nan m' needs a number and a unit; write it like '4.2 m'",
    "1e999 m": "'1e999 m' needs a number and a unit; write it like '4.2 m'",
    "4.2": "4.2 needs a unit; write it like '4.2 m'",
    "12:30": "'12:30' needs a number and a unit; write it like '4.2 m'",
    "010 m ": None,
    "0x10 m": "'0x10 m' needs a number and a unit; write it like '4.2 m'",
    "٤ m": "'٤ m' needs a number and a unit; write it like '4.2 m'",
    "-4 m": "'-4 m' is too low; the minimum is 0 m",
    "−4 m": "'−4 m' is too low; the minimum is 0 m",
    "9999 m": "'9999 m' is too high; the maximum is 1000 m",
    "4 kg": "'4 kg' is not a length; write it like '4.2 m'",
    "4 mm²": "'4 mm²' is not a length; write it like '4.2 m'",
    "4 m/s": "'4 m/s' is not a length; write it like '4.2 m'",
    "4 furlong": "'4 furlong' is not a length; write it like '4.2 m'",
    "4 m**9**9**9": "'4 m**9**9**9' needs a number and a unit; write it like '4.2 m'",
    "4 m/0": "'4 m/0' needs a number and a unit; write it like '4.2 m'",
    "true": "this is not a length; write it like '4.2 m'",
    "~": "the value is missing; write it like '4.2 m'",
    "[4 m]": "this is not a length; write it like '4.2 m'",
    "''": "'' needs a number and a unit; write it like '4.2 m'",
    "4 ft": None,
    "12 in": None,
    "1.5m": None,
}


@pytest.mark.parametrize(("value", "message"), LENGTHS.items(), ids=LENGTHS)
def test_lengths_are_read_or_refused_with_their_place(value, message, refusal, tmp_path):
    content = changed("length: 1 m}", f"length: {value}}}")
    if message is None:
        (tmp_path / "van.yml").write_text(content)
        assert load(tmp_path / "van.yml").system.cables[1].length_m > 0
    else:
        assert refusal(content) == [f"van.yml:16:44: cables[1].length: {message}"]


# A change, and the whole refusal.
WRONG = {
    "unknown key": (("name: main fuse", "nmae: main fuse, name: x"), ["van.yml:10:22: equipment.main.nmae: 'nmae' is not a valid key here; did you mean 'name'?"]),
    "misspelt and so missing": (("chemistry: AGM", "chemistrie: AGM"), [
        "van.yml:9:3: equipment.house: 'chemistry' is missing; add it",
        "van.yml:9:53: equipment.house.chemistrie: 'chemistrie' is not a valid key here; did you mean 'chemistry'?",
    ]),
    "unknown section": (("workshop:", "colour: red\nworkshop:"), ["van.yml:5:1: colour: 'colour' is not a valid key here; valid keys: format, van, workshop, places, equipment, loads, cable_defaults, cables, circuits, use, mains, alarms, installation, commissioning, services, reviewed, documented, texts"]),
    "missing section": (("workshop: {name: Somebody}", ""), ["van.yml:1:1: the file: 'workshop' is missing; add it"]),
    "unknown kind": (("kind: battery", "kind: batery"), ["van.yml:9:17: equipment.house.kind: 'batery' is not a kind of equipment; did you mean 'battery'?"]),
    "unknown choice": (("chemistry: AGM", "chemistry: NiCd"), ["van.yml:9:64: equipment.house.chemistry: 'NiCd' is not valid here; use 'flooded', 'EFB', 'AGM', 'gel', 'lead-carbon', 'LiFePO4', 'NMC', 'LTO' or 'sodium-ion'"]),
    "unfit name": (("  box: {", "  Box!: {"), None),
    "nothing to point at": (("to: main.in", "to: mian.in"), ["van.yml:15:25: cables[0].to: there is no terminal 'mian.in'; did you mean 'main.in'?"]),
    "no such terminal": (("from: house.+", "from: house.plus"), ["van.yml:15:12: cables[0].from: 'house' has no terminal 'house.plus'; it has house.+, house.-"]),
    "no such place": (("name: lamp, place: box", "name: lamp, place: bax"), ["van.yml:13:29: loads.lamp.place: there is no place 'bax'; did you mean 'box'?"]),
    "no such load": (("load: lamp", "load: lmap"), ["van.yml:21:11: circuits[0].load: there is no load 'lmap'; did you mean 'lamp'?"]),
    "no such board": (("fuse: {board: board", "fuse: {board: bord"), ["van.yml:19:19: circuits[0].fuse.board: there is no fuse board 'bord'; did you mean 'board'?"]),
    "not a board": (("fuse: {board: board", "fuse: {board: main"), ["van.yml:19:19: circuits[0].fuse.board: there is no fuse board 'main'; correct the name, or add it to the file"]),
    "no such position": (("position: 1", "position: 5"), ["van.yml:19:36: circuits[0].fuse.position: there is no position 5; 'board' has positions 1 to 4"]),
    "no such switch": (("load: lamp", "switch: house\n    load: lamp"), ["van.yml:21:13: circuits[0].switch: there is no switch 'house'; correct the name, or add it to the file"]),
    "switch beside segments": (("cable: {length: 2 m}\n    load: lamp", "cable: [{length: 2 m}]\n    load: lamp\n    switch: main"), ["van.yml:22:13: circuits[0].switch: with a list of segments, a switch is named by the segment that leads to it: 'to: main'"]),
    "segment to nowhere": (("cable: {length: 2 m}", "cable: [{length: 2 m, to: mian}, {length: 1 m}]"), ["van.yml:20:31: circuits[0].cable[0].to: there is no switch, connector or load of this circuit: 'mian'; did you mean 'main'?"]),
    "segment too many": (("cable: {length: 2 m}", "cable: [{length: 2 m}, {length: 1 m}]"), ["van.yml:20:28: circuits[0].cable[1]: no load is left for this segment; state where it leads to with 'to'"]),
    "segment missing": (("cable: {length: 2 m}", "cable: [{length: 2 m, to: main}]"), ["van.yml:20:13: circuits[0].cable[0]: no segment leads on from 'main'; add the one to its load", "van.yml:21:11: circuits[0].load: no segment leads to 'lamp'; add one to 'cable'"]),
    "segment from nowhere": (("cable: {length: 2 m}", "cable: [{length: 2 m, from: lamp}]"), ["van.yml:20:33: circuits[0].cable[0].from: there is no earlier segment to 'lamp'; correct the name, or add it to the file"]),
    "segment twice": (("cable: {length: 2 m}", "cable: [{length: 2 m, to: lamp}, {length: 2 m, to: lamp}]"), ["van.yml:20:56: circuits[0].cable[1].to: an earlier segment already leads to 'lamp'; remove one of them"]),
    "return in a first segment": (("cable: {length: 2 m}", "cable: [{length: 2 m, return: {length: 1 m}}]"), ["van.yml:20:35: circuits[0].cable[0].return: a segment states a return only if it leads to a further load; state it under the circuit's own 'return'"]),
    "segment without a length": (("cable: {length: 2 m}", "cable: [{to: lamp}]"), ["van.yml:20:13: circuits[0].cable[0]: 'length' is missing; add it"]),
    "load fed twice": (("load: lamp", "load: [lamp, lamp]"), ["van.yml:21:18: circuits[0].load[1]: 'lamp' is already supplied by circuit 'lamp'; remove it from one of them"]),
    "no loads": (("load: lamp", "load: []"), ["van.yml:21:11: circuits[0].load: must not be empty; enter a value"]),
    "cable to itself": (("to: main.in", "to: house.+"), ["van.yml:15:25: cables[0].to: the cable starts and ends at 'house.+'; correct one end"]),
    "cable named as a piece": (("{from: house.+", "{id: main, from: house.+"), ["van.yml:15:10: cables[0].id: 'main' is already the name of an item of equipment; choose another"]),
    "fuse at no position": (("columns: 4", "columns: 4, fuses: {9: {}}"), ["van.yml:11:97: equipment.board.fuses.9: there is no position 9; 'board' has positions 1 to 4"]),
    "fuse stated twice": (("columns: 4", "columns: 4, fuses: {1: {}}"), ["van.yml:11:97: equipment.board.fuses.1: position 1 of 'board' already holds the fuse of circuit 'lamp'; choose another"]),
    "cable to a circuit's fuse": (("to: board.in", "to: board.1"), ["van.yml:16:26: cables[1].to: position 1 of 'board' already holds the fuse of circuit 'lamp'; choose another"]),
    "same name twice": (("  lamp: {", "  board: {"), [
        "van.yml:13:10: loads.board: 'board' is already the name of an item of equipment; choose another",
        "van.yml:21:11: circuits[0].load: there is no load 'lamp'; correct the name, or add it to the file",
    ]),
    "odd nominal voltage": (("nominal: 12 V", "nominal: 13 V"), ["van.yml:3:12: van.nominal: '13 V' is not a supported nominal voltage; use 12 V, 24 V or 48 V"]),
    "behind the van": (("back: 1 m", "back: 9 m"), ["van.yml:7:43: places.box.at.back: 9 m is beyond the rear; 'van.size.length' is 5 m"]),
    "current and power": (("power: 10 W", "power: 10 W, current: 1 A"), ["van.yml:13:9: loads.lamp: a load needs 'current' or 'power', and not both; enter one of them"]),
    "script as address": (("nominal: 12 V", "nominal: 12 V\n  published: javascript:alert(1)"), ["van.yml:4:14: van.published: 'javascript:alert(1)' has the wrong format; use an address that begins with https://"]),
    "two lines in a name": (("name: Tern", 'name: "a\\nb"'), ["van.yml:2:9: van.name: 'a\\nb' has the wrong format; use one line of text"]),
    "control codes in a key": (("name: Tern", 'name: Tern\n  "\\e[31m": x'), None),
    "no date": (("nominal: 12 V", "nominal: 12 V\n  built: yesterday"), ["van.yml:4:10: van.built: 'yesterday' is not a date; write it like 2026-05-12"]),
    "section of a wrong kind": (("workshop: {name: Somebody}", "workshop: 3"), ["van.yml:5:11: workshop: 3 is not valid here; enter a group of 'key: value' lines"]),
    "comma in a number": (("length: 1 m}", "length: 1,2 m}"), [
        "van.yml:16:44: cables[1].length: 1 needs a unit; write it like '4.2 m'",
        "van.yml:16:46: cables[1].2 m: '2 m' is not a valid key here; valid keys: area, calculated, length, insulation, bunched, through, sheathed, conduit, buried, metal, colour, id, from, to, designation, torque, vehicle, signal",
    ]),
    "wrong gauge": (("length: 1 m}", "length: 1 m, area: 99 AWG}"), None),
    "too thin a gauge": (("length: 1 m}", "length: 1 m, area: 30 AWG}"), ["van.yml:16:55: cables[1].area: '30 AWG' is out of range; use a cable of 0.5 to 120 mm²"]),
    "too large an area": (("length: 1 m}", "length: 1 m, area: 400 mm²}"), ["van.yml:16:55: cables[1].area: '400 mm²' is too high; the maximum is 120 mm²"]),
    "no such shunt": (("loads:\n", "  show: {kind: monitor, name: m, place: box, shunt: house}\nloads:\n"), ["van.yml:12:53: equipment.show.shunt: there is no shunt 'house'; correct the name, or add it to the file"]),
    "arrays the wrong way round": (("loads:\n", "  sun: {kind: charger, name: c, place: box, source: solar, output: 9 A, array_low: 90 W, array_high: 40 W}\nloads:\n"), ["van.yml:12:84: equipment.sun.array_low: 'array_low' is above 'array_high'; correct one of them"]),
    "chassis as a name": (("  lamp: {", "  chassis: {"), None),
    "no such place on the way": (("length: 2 m}", "length: 2 m, through: [rof]}"), ["van.yml:20:36: circuits[0].cable.through[0]: there is no place 'rof'; correct the name, or add it to the file"]),
    "no way back": (("return: house.-", "return: minus"), ["van.yml:22:13: circuits[0].return: there is no terminal 'minus'; did you mean 'main'?"]),
}  # fmt: skip


@pytest.mark.parametrize(("change", "lines"), WRONG.values(), ids=WRONG)
def test_wrong_values_and_references_are_refused_with_their_place(change, lines, refusal):
    found = refusal(changed(*change))
    if lines is not None:
        assert found == lines
    assert all(re.match(r"van\.yml:\d+:\d+: \S", line) and line.isprintable() for line in found)


# Another name for the lamp, and what is said of it beside "main fuse" on line 10.
SAME = "van.yml:13:16: loads.lamp.name: {!r} is also the name of equipment.main on line 10; enter names that the owner can tell apart"
LIKE = "van.yml:13:16: loads.lamp.name: {!r} looks like 'main fuse', equipment.main on line 10; enter names that the owner can tell apart"
UNSEEN = "van.yml:13:16: loads.lamp.name: the text has no visible character; enter letters or digits"
NAMES = {
    "the same": ("main fuse", SAME),
    "spaces around it": ("'  main fuse '", SAME),
    "other case": ("Main Fuse", LIKE),
    "another space": ("main\u00a0fuse", LIKE),
    "two spaces": ("main  fuse", LIKE),
    "a hyphen": ("main-fuse", LIKE),
    "a zero-width space": ("ma\u200bin fuse", LIKE),
    "a filler letter": ("main fuse\u3164", LIKE),
    "a direction mark": ("main fuse\u202e", LIKE),
    "wide letters": ("ｍａｉｎ ｆｕｓｅ", LIKE),
    "a ligature": ("main \ufb01use", None),
    "Cyrillic а": ("m\u0430in fuse", LIKE),
    "Greek capitals": ("\u039c\u0391\u0399\u039d FUSE", LIKE),
    "one letter more": ("main fuses", None),
    "a number": ("main fuse 2", None),
    "only a direction mark": ("\u202e", UNSEEN),
    "only a zero-width joiner": ("\u200d\u200d", UNSEEN),
    "only a filler letter": ("\u3164", UNSEEN),
    "only a blank pattern": ("\u2800", UNSEEN),
    "only an accent": ("\u0301", UNSEEN),
    "Arabic": ("\u0645\u0635\u0628\u0627\u062d", None),
    "one sign": ("🚐", None),
}  # fmt: skip


@pytest.mark.parametrize(("name", "line"), NAMES.values(), ids=NAMES)
def test_names_that_an_owner_cannot_see_or_tell_apart(name, line, refusal, tmp_path):
    content = changed("{name: lamp", f"{{name: {name}")
    if line is None:
        (tmp_path / "van.yml").write_text(content, "utf-8")
        load(tmp_path / "van.yml")
    else:
        shown = Problem(Location("x", 1, 1), line.format(name.strip(" '"))).message
        assert refusal(content) == [shown]


@pytest.mark.parametrize(
    ("one", "other"), [("Lamp l", "Lamp I"), ("Lamp 1", "Lamp l"), ("O", "0"), ("СО", "CO")]
)
def test_letters_and_digits_that_are_drawn_alike(one, other, refusal):
    content = changed("{name: lamp", f"{{name: '{one}'").replace("name: board", f"name: '{other}'")
    (line,) = refusal(content)
    assert "looks like" in line


def test_places_and_circuits_have_names_that_can_be_told_apart(refusal):
    content = changed(
        "equipment:", "  seat: {label: Under the Seat, at: {back: 2 m, across: 1 m}}\nequipment:"
    )
    content = content.replace("  lamp: {", "  bulb: {name: bulb, place: seat, power: 1 W}\n  lamp: {")
    again = "  - {id: bulb, name: light, fuse: {board: board, position: 2}, cable: {length: 1 m}, load: bulb, return: house.-}"
    content = content.replace("  - id: lamp\n", "  - id: lamp\n    name: light\n") + again
    assert refusal(content) == [
        "van.yml:8:17: places.seat.label: 'Under the Seat' looks like 'under the seat', places.box on line 7; "
        "enter names that the owner can tell apart",
        "van.yml:26:22: circuits[1].name: 'light' is also the name of circuits[0] on line 21; "
        "enter names that the owner can tell apart",
    ]


def test_a_name_from_a_part_sheet_is_told_where_the_sheet_is_used(refusal, tmp_path):
    (tmp_path / "sheet.yml").write_text("kind: fuse\nname: holder\nfamily: C\nrating: 10 A\n")
    used = "{part: sheet.yml, place: box}"
    assert refusal(changed(MAIN, f"{used}\n  other: {used}")) == [
        "van.yml:11:3: equipment.other.name: 'holder' is also the name of equipment.main on line 10; "
        "enter names that the owner can tell apart"
    ]


def test_names_are_compared_even_if_other_values_are_wrong(refusal):
    content = changed("{name: lamp", "{name: board").replace("capacity: 100 Ah", "capacity: 100 W")
    assert [line.split(": ")[1] for line in refusal(content)] == [
        "equipment.house.capacity",
        "loads.lamp.name",
    ]


def test_all_errors_come_at_once_in_file_order(refusal):
    content = GOOD
    for old, new in (
        ("nominal: 12 V", "nominal: 12"),
        ("capacity: 100 Ah", "capacity: 100 W"),
        ("length: 0.1 m", "length: -0.1 m"),
        ("to: board.in", "to: board.inn"),
        ("position: 1}", "position: 1, ratng: 3 A}"),
        ("return: house.-", "return: haus.-"),
    ):
        assert content.count(old) == 1
        content = content.replace(old, new)
    assert refusal(content) == [
        "van.yml:3:12: van.nominal: 12 needs a unit; write it like '12 V'",
        "van.yml:9:79: equipment.house.capacity: '100 W' is not a battery capacity; write it like '100 Ah'",
        "van.yml:15:42: cables[0].length: '-0.1 m' is too low; the minimum is 0 m",
        "van.yml:16:26: cables[1].to: 'board' has no terminal 'board.inn'; it has board.in, board.1, board.2, "
        "board.3, board.4",
        "van.yml:19:39: circuits[0].fuse.ratng: 'ratng' is not a valid key here; did you mean 'rating'?",
    ]


def test_names_in_errors_are_relative_to_the_folder_asked_for(tmp_path):
    (tmp_path / "a" / "b").mkdir(parents=True)
    (tmp_path / "a" / "b" / "van.yml").write_text(changed("length: 1 m}", "length: 1 kg}"))
    for folder, start in ((tmp_path, "a/b/van.yml:16:44:"), (tmp_path / "a" / "c", "../b/van.yml:16:44:")):
        with pytest.raises(SystemFileError) as caught:
            load(tmp_path / "a" / "b" / "van.yml", folder)
        assert str(caught.value).startswith(start)


MAIN = "{kind: fuse, name: main fuse, place: box, family: C, rating: 10 A}"
SHEETS = {
    "missing": ("none.yml", None, ["van.yml:10:16: equipment.main.part: part sheet 'none.yml' not found; check its path"]),
    "absolute": ("/etc/hostname.yml", None, ["van.yml:10:16: equipment.main.part: '/etc/hostname.yml' is not a part sheet; enter the path of a .yml file, relative to the van file"]),
    "no YAML file": ("../../../etc/passwd", None, ["van.yml:10:16: equipment.main.part: '../../../etc/passwd' is not a part sheet; enter the path of a .yml file, relative to the van file"]),
    "folder": ("folder.yml", None, ["van.yml:10:16: equipment.main.part: part sheet 'folder.yml' not found; check its path"]),
    "too long a name": (f"{'a' * 400}.yml", None, ["van.yml:10:16: equipment.main.part: part sheet 'aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa… not found; check its path"]),
    "zero byte": ('"a\\0.yml"', None, ["van.yml:10:16: equipment.main.part: part sheet 'a\\x00.yml' not found; check its path"]),
    "syntax": ("sheet.yml", "kind: [fuse\n", ["sheet.yml:2:1: this is not valid YAML: did not find expected ',' or ']'"]),
    "empty": ("sheet.yml", "", ["sheet.yml:1:1: the file is empty; create a starter file with 'vandoc new'"]),
    "wrong value": ("sheet.yml", "kind: fuse\nname: x\nfamily: C\nrating: 10\n", ["sheet.yml:4:9: equipment.main.rating: 10 needs a unit; write it like '30 A'"]),
    "unknown key": ("sheet.yml", "kind: fuse\nname: x\nfamly: C\nfamily: C\n", ["sheet.yml:3:1: equipment.main.famly: 'famly' is not a valid key here; did you mean 'family'?"]),
    "place": ("sheet.yml", "kind: fuse\nname: x\nfamily: C\nplace: box\n", ["sheet.yml:4:1: 'place' belongs in the van file, not in a part sheet; move it there"]),
    "names another": ("sheet.yml", "kind: fuse\nname: x\nfamily: C\npart: sheet.yml\n", ["sheet.yml:4:1: 'part' belongs in the van file, not in a part sheet; move it there"]),
}  # fmt: skip


@pytest.mark.parametrize(("name", "text", "lines"), SHEETS.values(), ids=SHEETS)
def test_faulty_part_sheets_are_refused_with_their_place(name, text, lines, refusal, tmp_path):
    (tmp_path / "folder.yml").mkdir()
    if text is not None:
        (tmp_path / "sheet.yml").write_text(text)
    assert refusal(changed(MAIN, f"{{part: {name}, place: box}}")) == lines


def test_a_part_sheet_gives_defaults_that_the_van_file_may_replace(tmp_path):
    (tmp_path / "sheet.yml").write_text("kind: fuse\nname: holder\nfamily: E\nrating: 20 A\n")
    (tmp_path / "van.yml").write_text(changed(MAIN, "{part: sheet.yml, place: box, rating: 30 A}"))
    read = load(tmp_path / "van.yml", tmp_path)
    fuse = read.system.equipment["main"]
    assert (fuse.family, fuse.rating_a, fuse.name) == ("E", 30, "holder")
    assert [path.name for path in read.files] == ["van.yml", "sheet.yml"]
    assert str(read.locate(("equipment", "main", "rating"))) == "van.yml:10:47"
    assert str(read.locate(("equipment", "main", "family"))) == "sheet.yml:3:9"


PICTURES = {
    "missing": ("none.png", "was not found; check its path"),
    "outside": ("../other/x.png", "is outside the folder of the van file; move it there"),
    "absolute": ("/usr/share/x.png", "is outside the folder of the van file; move it there"),
    "through a link": ("link/x.png", "is outside the folder of the van file; move it there"),
    "not a picture": ("van.yml", "is not a picture; use one of .jpg, .jpeg, .png, .webp"),
    "a drawing with script": ("x.svg", "is not a picture; use one of .jpg, .jpeg, .png, .webp"),
    "another thing inside": (
        "fake.png",
        "is not in the format of its extension '.png'; save it again in that format",
    ),
    "folder": ("folder.png", "was not found; check its path"),
    "link to itself": ("loop.png", "was not found; check its path"),
}


@pytest.mark.parametrize(("name", "reason"), PICTURES.values(), ids=PICTURES)
def test_unusable_pictures_are_refused_with_their_reason(name, reason, tmp_path):
    home = tmp_path / "van"
    for folder in (home, tmp_path / "other", home / "folder.png"):
        folder.mkdir()
    (tmp_path / "other" / "x.png").write_bytes(b"\x89PNG\r\n\x1a\n")
    (home / "fake.png").write_text("<script>")
    (home / "x.svg").write_text("<svg/>")
    (home / "link").symlink_to(tmp_path / "other")
    (home / "loop.png").symlink_to(home / "loop.png")
    (home / "van.yml").write_text(changed("rows: 1", f"picture: {{file: {name}, alt: x}}, rows: 1"))
    with pytest.raises(SystemFileError) as caught:
        load(home / "van.yml", home)
    assert str(caught.value) == f"van.yml:11:81: equipment.board.picture.file: '{name}' {reason}"


MANY = {
    "cables": (15, "  - {{from: chassis, to: house.-, length: 1 m}}\n", 2000),
    "circuits": (18, "  - {{id: c{0}, fuse: {{board: board, position: 2}}, cable: {{length: 1 m}}, load: lamp, return: house.-}}\n", 2000),
    "equipment": (9, "  e{0}: {{kind: busbar, name: bar {0}, place: box, rating: 9 A}}\n", 2000),
    "loads": (13, "  l{0}: {{name: load {0}, place: box, power: 1 W}}\n", 4000),
}  # fmt: skip


@pytest.mark.parametrize("section", MANY)
def test_more_of_one_kind_than_can_be_calculated_is_refused_at_once(section, refusal):
    line, entry, most = MANY[section]
    added = "".join(entry.format(number) for number in range(most))  # beside one or more that are there
    content = GOOD.replace(f"{section}:\n", f"{section}:\n{added}")
    assert len(content) < 1_000_000, "another limit would refuse it"
    assert refusal(content) == [f"van.yml:{line}:3: {section}: too long; enter no more than {most} entries"]


PAGES = {
    "a name of other bytes": (b"caf\xe9.md", b"# x", r"van/pages/caf\udce9.md:1:1: this name is not UTF-8 text; rename it"),
    "a page of other bytes": (b"x.md", b"# x\n\ncaf\xe9\n", "van/pages/x.md:3:4: this byte is not UTF-8 text; save the file as UTF-8"),
    "a folder of other bytes": (b"caf\xe9/x.md", b"# x", r"van/pages/caf\udce9:1:1: this name is not UTF-8 text; rename it"),
}  # fmt: skip


@pytest.mark.parametrize(("name", "content", "line"), PAGES.values(), ids=PAGES)
def test_own_pages_that_are_not_text(name, content, line, tmp_path):
    home = tmp_path / "van"
    page = Path(os.fsdecode(os.fsencode(home / "pages") + b"/" + name))
    page.parent.mkdir(parents=True)
    page.write_bytes(content)
    (home / "van.yml").write_text(GOOD)
    with pytest.raises(SystemFileError) as caught:
        load(home / "van.yml", tmp_path)
    assert str(caught.value) == line


@pytest.mark.parametrize("closed", ["pages", "pages/inner", "pages/x.md"])
def test_own_pages_that_cannot_be_opened(closed, tmp_path, monkeypatch):
    (tmp_path / "pages" / "inner").mkdir(parents=True)
    (tmp_path / "pages" / "x.md").write_text("# x")
    (tmp_path / "van.yml").write_text(GOOD)

    def guarded(real):
        def opened(path, *given, **named):
            if os.path.realpath(path) == str(tmp_path / closed):
                raise PermissionError(13, "Permission denied", str(path))
            return real(path, *given, **named)

        return opened

    monkeypatch.setattr(
        os, "scandir", guarded(os.scandir)
    )  # root may open everything, so the system's refusal is made
    monkeypatch.setattr(Path, "read_bytes", guarded(Path.read_bytes))
    with pytest.raises(SystemFileError) as caught:
        load(tmp_path / "van.yml", tmp_path)
    assert str(caught.value) == f"{closed}:1:1: cannot be read: Permission denied; correct its permissions"


def test_thousands_of_errors_are_reported_without_a_long_wait(refusal):
    many = "".join(f"  - {{from: 1, to: nothing-{n}.in, length: 4 kg, taste: sweet}}\n" for n in range(1998))
    started = time.perf_counter()
    assert len(refusal(GOOD.replace("circuits:", f"{many}circuits:"))) == 5994
    assert time.perf_counter() - started < 30


def usable_or_refused(path: Path) -> None:
    """Load a file; anything but a system or a refusal is a fault of ours."""
    problems: tuple[Problem, ...] = ()
    try:
        load(path)
    except SystemFileError as error:
        problems = error.problems
        assert problems, "a refusal must say why"
    assert all(problem.message.isprintable() for problem in problems)


HARSH = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@HARSH
@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused_with_a_place(tmp_path, content):
    (tmp_path / "van.yml").write_bytes(content)
    usable_or_refused(tmp_path / "van.yml")


CURLEW = (SITES / "curlew" / "van.yml").read_text("utf-8")
SPLICES = ["", "{", "}", "[", "]", ":", "-", "&a ", "*a", "!!int ", "? ", "|\n", ">\n", "\t", "'", '"', "\\", "~", "true", ".inf",
           "1e9 A", "0 m", "-1 V", "99 AWG", "#", "---\n", "<<: ", "\u2028", "\ufeff", "é", "chassis", "house.+", "2 mm²", "é" * 50]  # fmt: skip


@HARSH
@given(
    st.lists(
        st.tuples(
            st.integers(0, len(CURLEW) - 1),
            st.integers(0, 30),
            st.sampled_from(SPLICES) | st.text(max_size=8),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_a_van_file_with_any_insertion_is_read_or_refused(tmp_path, cuts):
    text = CURLEW
    for start, length, piece in cuts:
        start %= len(text)
        text = text[:start] + piece + text[start + length :]
    (tmp_path / "van.yml").write_text(
        text.replace("../parts/", f"{os.path.relpath(SITES / 'parts', tmp_path)}/"), "utf-8", "replace"
    )
    usable_or_refused(tmp_path / "van.yml")


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=10) | st.sampled_from(["1 m", "3 A", "house.+", "box", "12 V"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8) | st.sampled_from(["kind", "name", "place", "from", "to", "length"]), inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@HARSH
@given(st.sampled_from(["van", "workshop", "places", "equipment", "loads", "cables", "circuits", "use", "mains", "services"]), VALUES)  # fmt: skip
def test_a_section_of_any_shape_is_read_or_refused(tmp_path, section, value):
    text = re.sub(rf"^{section}:.*\n(  .*\n)*", "", GOOD, flags=re.MULTILINE)
    (tmp_path / "van.yml").write_text(f"{text}{section}: {json.dumps(value)}\n")
    usable_or_refused(tmp_path / "van.yml")
