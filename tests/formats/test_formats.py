"""Files of every format load for ever: converted in memory, errors at their own place, seals valid.

The files beside this module are real ones, as vandoc took or wrote them at the time. They are never edited.
"""

import hashlib
import shutil
from datetime import date
from pathlib import Path

import pytest

from vandoc.ground.errors import SystemFileError
from vandoc.reading import formats
from vandoc.reading.archive import keep, revisions
from vandoc.reading.formats import Step
from vandoc.reading.loader import load
from vandoc.reading.yamltree import Node

HERE = Path(__file__).parent
VAN_FILES = {
    "1/oldest.yml": ("Curlew", 200),
    "1/first/van.yml": ("Wren", 110),
    "2/van.yml": ("My van", 100),
}
"""Name of the van and capacity of its leisure battery, read from each file by eye. [Ah]"""
COPIES = {
    "1/handed_over.yml": (1, "2023-03-14", "Handed over", "1-877e92", (), 200),
    "1/repaired.yml": (
        2,
        "2026-11-28",
        "history repaired: revision 1 could not be read",
        "2-9d9695",
        (1,),
        110,
    ),
    "2/handed_over.yml": (1, "2026-11-20", "Handed over", "1-bf14a7", (), 100),
    "2/with_results.yml": (1, "2026-11-27", "Handed over", "1-6c5310", (), 100),
    "2/with_workshop.yml": (1, "2026-11-28", "Handed over", "1-4b984b", (), 100),
}
"""Number, date, reason, mark, lost revisions and the same capacity, read from each file by eye."""
FROZEN = {
    "1/first/van.yml": "db7e8e3f94d5eafa94fee7cdceb5913f390e45e6a04d97945e519d032122cc29",
    "1/handed_over.yml": "b14c7223e4fbaea2937b741564bf5ff146c38eb913b1b768c1ed6c3378f5f11a",
    "1/oldest.yml": "025f15f000d7f026cb8b409a80f444bfd6a6b9f834d9ad0ec10c9c616787c45b",
    "1/parts/blade-fuse-board-8.yml": "20e0b2cb4b39540a227506ba06b540fc403da6d370e8e075ac689bb98cec3b23",
    "1/parts/bolt-fuse-holder.yml": "0db2b8b35c2385defc54a1efd3d63e846e4fa2cb158a96390420aa6e0686c9bf",
    "1/parts/busbar.yml": "46db091ae4ecc2e84ce554e646de52cd56bf95fb8816e6754383f6c42577c292",
    "1/parts/diesel-heater.yml": "a7850cf29983981ebfdf44d288a26fa304182f8df9dd696c853f124048f9d9d4",
    "1/parts/earth-point.yml": "0044cfa779780fe5661ad6887b813b481366647132cbcc174df50136e7acf99c",
    "1/parts/gas-alarm.yml": "186c874bb5b6ed60220ea58fb0052eab8b4177d11eebb6e7a1e5922fed860f37",
    "1/parts/small-isolator.yml": "54020974e0b6584192958e8e228bc759d4b1476e875eb5e59ac0adf0dd6bd99c",
    "1/parts/solar-controller.yml": "6cfe291652ebcb4d75edd932f54ad0fc7a5dd36c06add0e6297448990e4567ae",
    "1/parts/strip-fuse-holder.yml": "dbfe0f6d61404e3c685bdc3c6c32e66bb0dedf04c5810d4c5f14dcab884791fe",
    "1/parts/water-pump.yml": "31106f91ba4a0c22e8684d4dd8c51dfb4de1aead6828aeba9c7a240d391315b9",
    "1/repaired.yml": "4f2999a149849f4a139d3fa2f152dbb5fcad0a04969561d9ba05f7db81886b9c",
    "2/handed_over.yml": "271b64a35cd02280fc7cc6ae7299379b24b605a83a706b7a0fd331e5ea6de4b1",
    "2/with_workshop.yml": "92e033ec610cc23cd0cf4266a8e7732145fc81ab7a0a616358bf5981c449e54e",
    "2/workshop/workshop.yml": "8d001a3715b53684670e251132a568befe33c6f935498501209e775430cd0b8c",
    "2/with_results.yml": "2f943cc024adcf5c03ee4bf714454e11dc5cded6e99478a98ca90f728f4d55df",
    "2/van.yml": "6955ef77086f521c323d475120795432f3a9bc79dec1bcef2684e5b735299a99",
}


def test_the_kept_files_are_never_edited():
    found = {file.relative_to(HERE).as_posix(): file for file in HERE.rglob("*.yml")}
    assert {name: hashlib.sha256(file.read_bytes()).hexdigest() for name, file in found.items()} == FROZEN


def test_a_file_and_an_archived_copy_of_each_format_are_kept():
    wanted = set(range(1, formats.newest() + 1))
    assert {int(name.partition("/")[0]) for name in VAN_FILES} == wanted
    assert {int(name.partition("/")[0]) for name in COPIES} == wanted


@pytest.mark.parametrize("name", VAN_FILES)
def test_a_van_file_of_each_format_loads(name):
    system = load(HERE / name).system
    assert (system.van.name, system.equipment["house"].stated_ah) == VAN_FILES[name]


@pytest.fixture
def archived(tmp_path: Path):
    """A van file of today beside an archived copy of any format, as the newest revision."""

    def beside(name: str) -> Path:
        number = COPIES[name][0]
        text = (HERE / "2/van.yml").read_text("utf-8")
        (tmp_path / "van.yml").write_text(text.replace("revision: 1", f"revision: {number}"), "utf-8")
        (tmp_path / "revisions").mkdir()
        shutil.copy(HERE / name, tmp_path / f"revisions/{number:04d}.yml")
        return tmp_path / "van.yml"

    return beside


@pytest.mark.parametrize("name", COPIES)
def test_a_copy_of_each_format_is_read_with_its_seal(archived, name):
    (copy,) = revisions(load(archived(name)))
    capacity = copy.van_file().system.equipment["house"].stated_ah
    said = (copy.number, copy.date.isoformat(), copy.why, copy.mark, copy.lost, capacity)
    assert said == COPIES[name]
    assert copy.path.read_bytes() == (HERE / name).read_bytes()


def test_a_copy_keeps_its_results_since_they_are_kept(archived):
    (without,) = revisions(load(archived("2/handed_over.yml")))
    assert without.calculated() is None
    shutil.rmtree(without.path.parent)
    (kept,) = revisions(load(archived("2/with_results.yml")))
    # Read from the file by eye.
    assert kept.calculated().version == "0.1.0"
    assert kept.calculated().figures["capacity", "house"] == 100


def test_a_copy_keeps_its_workshop_file(archived):
    (kept,) = revisions(load(archived("2/with_workshop.yml")))
    system = kept.van_file().system
    # Read from the file by eye.
    assert system.house.bases == ["ISO 13297", "IEC 60364-5-52"]
    assert system.house.limits.voltage_drop.lighting_percent == 2.5
    assert system.texts.service == "The first service is free."


def test_a_workshop_file_of_each_format_since_there_are_any_loads(tmp_path):
    shutil.copy(HERE / "2/van.yml", tmp_path / "van.yml")
    for name in ("2/workshop/workshop.yml",):
        shutil.copy(HERE / name, tmp_path / "workshop.yml")
        assert load(tmp_path / "van.yml").system.house.limits.unprotected_m == 0.15


# Formats to come


def renamed(node: Node, old: str, new: str) -> Node:
    """A mapping with one key renamed, in its place."""
    name = {old: new}
    value = {name.get(key, key): child for key, child in node.value.items()}
    return Node(node.location, value, {name.get(key, key): place for key, place in node.keys.items()})


def next_van(tree: Node) -> Node:
    """What is called `name` of a van was called `called` before, and the same in each load."""
    sections = dict(tree.value)
    sections["van"] = renamed(sections["van"], "called", "name")
    loads = sections["loads"]
    entries = {ident: renamed(entry, "called", "name") for ident, entry in loads.value.items()}
    sections["loads"] = Node(loads.location, entries, loads.keys)
    return Node(tree.location, sections, tree.keys)


def next_workshop(tree: Node) -> Node:
    """What is called `name` of a workshop was called `called` before."""
    return renamed(tree, "called", "name")


@pytest.fixture
def later(monkeypatch):
    """One more format, and a step to it."""
    step = Step(next_van, lambda sheet: renamed(sheet, "called", "name"), next_workshop)
    found = {**formats.steps(), formats.newest(): step}
    monkeypatch.setattr(formats, "steps", lambda: found)


def fit(tmp_path: Path, *changes: tuple[str, str]) -> Path:
    """The first van with its part sheets; it and the pump's sheet say `called` where today's say `name`."""
    shutil.copytree(HERE / "1/parts", tmp_path / "parts")
    (tmp_path / "wren").mkdir()
    text = (HERE / "1/first/van.yml").read_text("utf-8").replace("van:\n  name:", "van:\n  called:")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (tmp_path / "wren/van.yml").write_text(text, "utf-8")
    pump = tmp_path / "parts/water-pump.yml"
    pump.write_text(pump.read_text("utf-8").replace("name:", "called:"), "utf-8")
    return tmp_path / "wren/van.yml"


def problems(path: Path) -> list[str]:
    with pytest.raises(SystemFileError) as caught:
        load(path, path.parents[1])
    return str(caught.value).splitlines()


def test_without_the_step_such_files_are_refused(tmp_path):
    found = problems(fit(tmp_path))
    assert any("'called' is not a valid key" in line and line.startswith("wren/van.yml") for line in found)
    assert any("'called' is not a valid key" in line and "water-pump.yml" in line for line in found)


@pytest.mark.usefixtures("later")
def test_a_van_file_and_its_part_sheets_are_converted_each_from_its_own_format(tmp_path):
    path = fit(tmp_path)
    pump = tmp_path / "parts/water-pump.yml"
    before = path.read_bytes()
    read = load(path)
    assert (read.system.van.name, read.system.loads["pump"].name) == ("Wren", "water pump")
    sheet = pump.read_text("utf-8").replace("called:", "name:")
    pump.write_text(f"format: 3\n{sheet}", "utf-8")
    assert load(path).system == read.system
    assert path.read_bytes() == before


@pytest.mark.usefixtures("later")
def test_a_workshop_file_is_converted_from_its_own_format(tmp_path):
    path = fit(tmp_path)
    text = path.read_text("utf-8")
    path.write_text(f"{text[: text.index('workshop:')]}{text[text.index('places:') :]}", "utf-8")
    shop = tmp_path / "workshop.yml"
    shop.write_text("format: 2\ncalled: Marsh\nphone: '1'\n", "utf-8")
    assert load(path).system.workshop.name == "Marsh"
    kept = keep(path, "handed over", date(2026, 3, 14))
    assert kept.van_file().system.workshop.name == "Marsh"
    shop.write_text("format: 3\nname: Marsh\nphone: 1\n", "utf-8")
    assert problems(path) == ["workshop.yml:3:8: phone: 1 is not valid here; enter text"]


@pytest.mark.usefixtures("later")
def test_errors_name_the_place_in_the_file_as_it_is_written(tmp_path):
    path = fit(tmp_path, ("  called: Wren", "  called: 7"), ("  nominal: 12 V", "  nominal: 12"))
    lines = path.read_text("utf-8").splitlines()
    wanted = [f"wren/van.yml:{lines.index(text) + 1}:" for text in ("  called: 7", "  nominal: 12")]
    found = problems(path)
    assert [line[: len(start)] for line, start in zip(found, wanted, strict=True)] == wanted
    assert found[0].startswith(f"{wanted[0]}11: van.name: ")


def test_an_archived_revision_outlives_a_change_of_the_format(tmp_path, monkeypatch):
    path = tmp_path / "van.yml"
    shutil.copy(HERE / "2/van.yml", path)
    kept = keep(path, "handed over", date(2026, 3, 14))

    def added(tree: Node) -> Node:
        van = tree.value["van"]
        filled = Node(van.location, {**van.value, "base": Node(van.location, "unknown")}, van.keys)
        return Node(tree.location, {**tree.value, "van": filled}, tree.keys)

    found = {**formats.steps(), formats.newest(): Step(added, lambda sheet: sheet, lambda workshop: workshop)}
    monkeypatch.setattr(formats, "steps", lambda: found)
    read = load(path)
    (again,) = revisions(read)
    assert again.text == kept.text
    assert again.van_file().system == read.system
    assert read.system.van.base == "unknown"
    with pytest.raises(Exception, match="unchanged since revision"):
        keep(path, "again", date(2026, 3, 15))


def test_the_number_of_the_format_is_no_change_of_the_van(tmp_path):
    path = tmp_path / "van.yml"
    text = (HERE / "2/van.yml").read_text("utf-8")
    path.write_text(text.replace("format: 2\n", ""), "utf-8")
    keep(path, "handed over", date(2026, 3, 14))
    path.write_text(text, "utf-8")
    with pytest.raises(Exception, match="unchanged since revision"):
        keep(path, "again", date(2026, 3, 15))


def test_a_later_format_is_the_only_error_of_a_van_file(tmp_path):
    path = tmp_path / "van.yml"
    text = (HERE / "2/van.yml").read_text("utf-8").replace("nominal: 12 V", "nominal: 12", 1)
    path.write_text(text.replace("format: 2", "format: 7"), "utf-8")
    (found,) = problems(path)
    assert found.endswith(
        "van.yml:10:9: format: 7 is later than the formats that this version of vandoc knows (1 to 2); "
        "install a later version of vandoc"
    )


def test_a_later_format_of_a_part_sheet_is_reported_where_it_is_stated(tmp_path):
    path = fit(tmp_path, ("  called: Wren", "  name: Wren"))
    pump = tmp_path / "parts/water-pump.yml"
    pump.write_text(f"format: 7\n{pump.read_text('utf-8')}", "utf-8")
    (found,) = problems(path)
    assert found.startswith("parts/water-pump.yml:1:9: format: 7 is later than")


@pytest.mark.parametrize("stated", ["two", "0", "-1", "1.5", "true", "[2]", "12 V", "null"])
def test_what_is_no_format_is_reported_with_all_other_errors(tmp_path, stated):
    path = tmp_path / "van.yml"
    text = (HERE / "2/van.yml").read_text("utf-8").replace("nominal: 12 V", "nominal: 12", 1)
    path.write_text(text.replace("format: 2", f"format: {stated}"), "utf-8")
    first, second = problems(path)
    assert "van.yml:10:9: format: " in first
    assert first.endswith("is not a format number; enter a whole number from 1 to 2")
    assert "van.nominal" in second


def test_a_missing_step_is_noticed(monkeypatch):
    monkeypatch.setattr(formats.pkgutil, "iter_modules", lambda _path: [_Named("from_1"), _Named("from_3")])
    with pytest.raises(LookupError, match="do not follow each other"):
        formats.steps.__wrapped__()


class _Named:
    def __init__(self, name: str) -> None:
        self.name = name
