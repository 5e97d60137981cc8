"""Label sheets and part sheets of packages of others."""

import shutil
from datetime import date
from pathlib import Path

import pytest

import vandoc
from vandoc.ground.errors import ExtensionError
from vandoc.ground.extensions import ignored
from vandoc.paper.labels import sheets
from vandoc.reading.archive import keep
from vandoc.reading.archive.revision import seal_of

POINTS = {"vandoc.label_sheets": "marsh_sheets"}
TABLE = """# source: measured on the sheet
# edition: 1
# conditions: mm
# read: own choice
name,kind,page_width_mm,page_height_mm,columns,rows,label_width_mm,label_height_mm,left_mm,top_mm,pitch_x_mm,pitch_y_mm,padding_mm
{name},sheet,210,297,2,4,105,74,0,0.5,105,74,3
"""


def table(name: str) -> dict[str, str]:
    return {"marsh_sheets/label_sheets.csv": TABLE.format(name=name)}


def test_a_label_sheet_is_added(install):
    before = dict(sheets())
    install("marsh-sheets", "4", POINTS, table("2x4"))
    assert dict(sheets()) == before | {"2x4": sheets()["2x4"]}
    assert len(list(sheets()["2x4"].spots())) == 8
    with ignored():
        assert dict(sheets()) == before


@pytest.mark.parametrize(
    ("contents", "reason"),
    [
        (table("3x8"), "there is a label sheet '3x8' already"),
        ({"marsh_sheets/label_sheets.csv": "name\n2x4\n"}, "label_sheets.csv:1: expected a head line"),
        ({"marsh_sheets/other.csv": ""}, "No such file"),
    ],
)
def test_a_table_that_replaces_or_cannot_be_read_is_refused_by_name(install, contents, reason):
    install("marsh-sheets", "4", POINTS, contents)
    with pytest.raises(ExtensionError, match=f"package marsh-sheets 4: .*{reason}"):
        sheets()


PARTS = {"vandoc.part_sheets": "marsh_parts"}
VAN = Path(__file__).parents[2] / "sites/wren/van.yml"


NAMED = "../parts/bolt-fuse-holder.yml"
FUSE = ("equipment", "split-fuse", "voltage")


@pytest.fixture
def naming(tmp_path: Path) -> Path:
    """A demonstration van with one part sheet in a package, as its van file names it."""
    shutil.copytree(VAN.parents[1], tmp_path / "sites")
    file = tmp_path / "sites/wren/van.yml"
    text = file.read_text("utf-8")
    assert NAMED in text
    file.write_text(text.replace(NAMED, "marsh-parts/fuses/one.yml", 1), "utf-8")
    return file


@pytest.fixture
def sheet() -> dict[str, str]:
    """A package that holds that sheet."""
    return {"marsh_parts/fuses/one.yml": (VAN.parent / NAMED).read_text("utf-8")}


def test_a_part_sheet_of_a_package_is_read_and_named(install, sheet, naming):
    install("marsh-parts", "2.0", PARTS, sheet)
    van = vandoc.read(naming)
    assert van.system == vandoc.read(VAN).system.model_copy(update={"equipment": van.system.equipment})
    named = van.system.equipment["split-fuse"].model_dump(exclude={"part"})
    assert named == vandoc.read(VAN).system.equipment["split-fuse"].model_dump(exclude={"part"})
    assert van.van_file.locate(FUSE).file.endswith("sites/wren/marsh-parts 2.0/fuses/one.yml")
    with ignored(), pytest.raises(vandoc.SystemFileError, match=r"'marsh-parts/fuses/one\.yml' not found"):
        vandoc.read(naming)


def test_the_vans_own_part_sheets_come_first(install, sheet, naming):
    install("marsh-parts", "2.0", PARTS, sheet)
    own = naming.parent / "marsh-parts/fuses/one.yml"
    own.parent.mkdir(parents=True)
    own.write_text(sheet["marsh_parts/fuses/one.yml"].replace("58 V", "80 V"))
    van = vandoc.read(naming)
    assert (van.system.equipment["split-fuse"].voltage_v, own in van.van_file.files) == (80, True)


def test_a_path_out_of_the_package_is_not_read(install, sheet, naming):
    folder = install("marsh-parts", "2.0", PARTS, sheet)
    (folder / "secret.yml").write_text(sheet["marsh_parts/fuses/one.yml"])
    text = naming.read_text("utf-8").replace("marsh-parts/fuses/one.yml", "marsh-parts/../secret.yml")
    naming.write_text(text)
    with pytest.raises(vandoc.SystemFileError, match="not found"):
        vandoc.read(naming)


def test_a_revision_keeps_the_part_sheet_and_is_read_without_the_package(install, sheet, naming):
    install("marsh-parts", "2.0", PARTS, sheet)
    kept = keep(naming, "first", date(2026, 5, 12))
    with ignored():
        assert kept.van_file().system.equipment == vandoc.read(VAN).system.model_copy().equipment | {
            "split-fuse": kept.van_file().system.equipment["split-fuse"]
        }
        assert kept.van_file().system.equipment["split-fuse"].voltage_v == 58


def test_a_revision_records_the_packages_that_made_it(install, sheet, naming):
    install("marsh-parts", "2.0", PARTS, sheet)
    kept = keep(naming, "first", date(2026, 5, 12))
    assert 'packages: {"marsh-parts": "2.0"}' in kept.text
    assert [str(one) for one in kept.packages] == ["marsh-parts 2.0"]  # as read from the disk
    copy = kept.path.read_text("utf-8").replace('"2.0"', "2.0")
    kept.path.write_text(f"{copy.rpartition('# seal')[0]}# seal: {seal_of(copy.rpartition('# seal')[0])}\n")
    with pytest.raises(vandoc.SystemFileError, match=r"archived\.packages: .* is not valid here"):
        vandoc.read(naming)


def test_a_revision_of_vandoc_alone_names_none(naming):
    text = naming.read_text("utf-8").replace("marsh-parts/fuses/one.yml", NAMED)
    naming.write_text(text, "utf-8")
    kept = keep(naming, "first", date(2026, 5, 12))
    assert ("packages" in kept.text, kept.packages) == (False, ())


def test_two_packages_with_part_sheets_of_one_name_are_refused(install, sheet, naming):
    install("marsh-parts", "2.0", PARTS, sheet)
    other = {path.replace("marsh_parts", "pond_parts"): text for path, text in sheet.items()}
    folder = install("pond-parts", "1", {"vandoc.part_sheets": "pond_parts"}, other)
    points = folder / "pond_parts-1.dist-info/entry_points.txt"
    points.write_text(points.read_text().replace("pond-parts =", "marsh-parts ="))
    with pytest.raises(
        ExtensionError, match=r"marsh-parts 2\.0 and pond-parts 1 both have part sheets named"
    ):
        vandoc.read(naming)
