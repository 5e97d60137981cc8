"""A workshop file is read with the van file: what it supplies, and every error of both with its place."""

import os
import shutil

import pytest

from tests.conftest import ROOT
from vandoc.reading.loader import load

LOGO = ROOT / "sites/curlew/seat-box.png"


def test_without_one_a_van_file_says_all_itself(wren):
    read = load(wren)
    assert read.workshop is None
    assert read.system.workshop.name == "Hollow Lane Van Works"


def test_contact_details_are_those_of_the_van_file_where_it_states_them(wren, shop):
    path = shop('name: Marsh (fictitious)\nphone: "1"\nemail: a@example.org\nweb: https://example.org/\n')
    own = load(wren).system.workshop
    assert own.web == "https://example.org/"
    assert own.hours == "Tuesday to Friday, 9 to 16"
    text = wren.read_text("utf-8")
    start, end = text.index("workshop:\n"), text.index("\nplaces:")
    assert own.name != "Marsh (fictitious)"
    wren.write_text(f"{text[:start]}{text[end:]}", "utf-8")
    read = load(wren)
    assert (read.system.workshop.name, read.system.workshop.phone) == ("Marsh (fictitious)", "1")
    assert read.locate(("workshop", "phone")).file.endswith("workshop.yml")
    assert path.resolve() in read.files


def test_texts_are_those_of_the_van_file_where_it_states_them(wren, shop):
    shop("texts: {welcome: Welcome., service: Call us.}\n")
    wren.write_text(f"{wren.read_text('utf-8')}\ntexts: {{service: Ask Teal.}}\n", "utf-8")
    texts = load(wren).system.texts
    assert (texts.welcome, texts.service, texts.handover) == ("Welcome.", "Ask Teal.", None)


def test_every_error_of_both_files_is_told_at_once(shop, change, problems):
    shop(
        "format: 2\nphone: 7\ncolour: red\nlanguage: German\nbases: [DIN 1]\n"
        "limits:\n  voltage_drop: {lighting: 12 %}\n  fuse_load: 0.9\npart_sheets: [../elsewhere]\n"
    )
    change("nominal: 12 V", "nominal: 12")
    found = problems()
    assert [line.partition(": ")[0] for line in found if line.startswith("workshop.yml")] == [
        f"workshop.yml:{place}" for place in ("2:8", "3:1", "4:11", "5:9", "7:28", "8:14", "9:15")
    ]
    assert any(line.startswith("vans/wren/van.yml:") and "van.nominal" in line for line in found)
    assert len(found) == 8


def test_errors_are_in_the_style_of_the_van_file(shop, problems):
    shop("phon: 1\nlogo: {file: logo.gif, alt: a mark}\nlimits: {voltage_drop: {critcal: 1 %}}\n")
    assert problems() == [
        "workshop.yml:1:1: phon: 'phon' is not a valid key here; did you mean 'phone'?",
        "workshop.yml:2:14: logo.file: 'logo.gif' is not a picture; use one of .jpg, .jpeg, .png, .webp",
        "workshop.yml:3:25: limits.voltage_drop.critcal: 'critcal' is not a valid key here; "
        "did you mean 'critical'?",
    ]


LAXER = {
    "limits: {voltage_drop: {critical: 3.5 %}}": ("3.5 %", "3 %", "3 % or less"),
    "limits: {fuse_load: 85 %}": ("85 %", "80 %", "80 % or less"),
    "limits: {smallest_cable: 0.75 mm²}": ("0.75 mm²", "1 mm²", "1 mm² or more"),
    "limits: {unprotected: 20 cm}": ("0.2 m", "0.178 m", "0.178 m or less"),
    "limits: {charger_cable: 4 m}": ("4 m", "3 m", "3 m or less"),
}


@pytest.mark.parametrize("text", LAXER)
def test_a_laxer_limit_is_an_error_that_says_so(shop, problems, text):
    shop(f"{text}\n")
    given, own, remedy = LAXER[text]
    (found,) = problems()
    assert found.endswith(
        f"{given} is laxer than vandoc's own limit of {own}; a workshop's limits may only be stricter: "
        f"enter {remedy}"
    )


@pytest.mark.parametrize(
    "text",
    [
        "limits: {voltage_drop: {critical: 3 %, main: 3 %, lighting: 3 %, general: 3 %, charging: 3 %}}",
        "limits: {fuse_load: 80 %}",
        "limits: {smallest_cable: 1 mm²}",
        "limits: {unprotected: 178 mm}",
        "limits: {charger_cable: 300 cm}",
    ],
)
def test_the_same_limit_is_none_laxer(wren, shop, text):
    shop(f"{text}\n")
    load(wren)


def test_what_only_a_workshop_file_says_is_no_key_of_a_van_file(wren, problems):
    text = wren.read_text("utf-8")
    wren.write_text(f"{text}\nhouse: {{bases: [ISO 13297]}}\nlimits: {{fuse_load: 70 %}}\n", "utf-8")
    line = text.count("\n") + 2
    first, second = problems()
    assert first == f"vans/wren/van.yml:{line}:1: house: 'house' is not a valid key here; did you mean 'use'?"
    assert second.startswith(f"vans/wren/van.yml:{line + 1}:1: limits: 'limits' is not a valid key")


def test_a_van_without_any_workshop_is_told_so(wren, shop, problems):
    text = wren.read_text("utf-8")
    wren.write_text(f"{text[: text.index('workshop:')]}{text[text.index('places:') :]}", "utf-8")
    assert problems() == ["vans/wren/van.yml:4:1: the file: 'workshop' is missing; add it"]
    shop("phone: '1'\n")
    (found,) = problems()
    assert "workshop: 'name' is missing" in found
    shop("name: 7\n")
    (found,) = problems()
    assert found.startswith("workshop.yml:1:7: name: 7 is not valid here; enter text")


def test_a_workshop_file_that_cannot_be_read_stops_everything(wren, shop, problems):
    path = shop("name: [\n")
    assert problems()[0].startswith("workshop.yml:2:1: this is not valid YAML")
    path.write_bytes(b"name: A\xff\n")
    assert problems() == ["workshop.yml:1:8: this byte is not UTF-8 text; save the file as UTF-8"]
    path.unlink()
    path.mkdir()
    assert problems()[0].startswith("workshop.yml:1:1: the workshop file must be a regular file")
    path.rmdir()
    path.symlink_to("nowhere")
    assert problems()[0].startswith("workshop.yml:1:1: the workshop file must be a regular file")
    path.unlink()
    shop("format: 9\nname: A\n")
    assert problems()[0].startswith("workshop.yml:1:9: format: 9 is later than the formats")
    path.write_text("name: A\n", "utf-8")
    path.chmod(0)
    if not os.access(path, os.R_OK):  # the superuser may read it all the same
        assert problems()[0].startswith("workshop.yml:1:1: the workshop file cannot be read")
    path.chmod(0o644)
    load(wren)


def test_a_part_sheet_is_found_in_the_declared_folders(wren, shop):
    vans = wren.parents[1]
    shutil.move(vans / "parts", vans.parent / "sheets")
    (vans.parent / "more").mkdir()
    shutil.copy(vans.parent / "sheets/water-pump.yml", vans.parent / "more/water-pump.yml")
    text = wren.read_text("utf-8").replace("../parts/", "")
    wren.write_text(text, "utf-8")
    shop("part_sheets: [sheets, more]\n")
    read = load(wren, vans.parent)
    assert (vans.parent / "sheets/water-pump.yml").resolve() in read.files
    assert (vans.parent / "more/water-pump.yml").resolve() not in read.files
    place = read.locate(("loads", "pump", "lowest"))
    assert place.file == "sheets/water-pump.yml"
    own = wren.parent / "water-pump.yml"
    shutil.copy(vans.parent / "sheets/water-pump.yml", own)
    assert own.resolve() in load(wren).files, "the van's own sheet comes first"


@pytest.mark.parametrize(
    ("named", "told"),
    [
        ("/tmp", "'/tmp' is not a folder below the workshop file"),
        ("..", "'..' is outside the folder of the workshop file"),
        (".", "'.' is the folder of the workshop file itself"),
        ("nowhere", "'nowhere' was not found, or is not a folder"),
        ("link", "'link' is outside the folder of the workshop file"),
        ("workshop.yml", "'workshop.yml' was not found, or is not a folder"),
    ],
)
def test_a_folder_that_cannot_be_one_of_part_sheets_is_refused(shop, problems, named, told):
    path = shop(f"part_sheets: [vans, {named}]\n")
    (path.parent / "link").symlink_to("/")
    (found,) = problems()
    assert found.startswith(f"workshop.yml:1:21: part_sheets[1]: {told}")


def test_a_link_out_of_a_declared_folder_is_no_part_sheet(wren, shop, problems):
    vans = wren.parents[1]
    (vans.parent / "sheets").mkdir()
    (vans.parent / "sheets/pump.yml").symlink_to(vans / "parts/water-pump.yml")
    wren.write_text(wren.read_text("utf-8").replace("../parts/water-pump.yml", "pump.yml"), "utf-8")
    shop("part_sheets: [sheets]\n")
    assert any("part sheet 'pump.yml' not found" in line for line in problems())


def test_the_logo_is_a_picture_in_the_folder_of_the_workshop(wren, shop, problems):
    path = shop("logo: {file: brand/logo.png, alt: a mark}\n")
    assert problems() == ["workshop.yml:1:14: logo.file: 'brand/logo.png' was not found; check its path"]
    (path.parent / "brand").mkdir()
    shutil.copy(LOGO, path.parent / "brand/logo.png")
    read = load(wren)
    assert read.workshop.logo == path.parent.resolve() / "brand/logo.png"
    outside = path.parents[1] / f"{path.parent.name}.png"
    shutil.copy(LOGO, outside)
    (path.parent / "brand/logo.png").unlink()
    (path.parent / "brand/logo.png").symlink_to(outside)
    assert "is outside the folder of the workshop file" in problems()[0]
    (path.parent / "brand/logo.png").unlink()
    (path.parent / "brand/logo.png").write_text("<svg/>", "utf-8")
    assert "is not in the format of its extension" in problems()[0]


def test_declared_folders_are_those_of_sheets_and_logo_but_not_of_all_vans(wren, shop):
    path = shop("logo: {file: logo.png, alt: a mark}\npart_sheets: [sheets]\n")
    root = path.parent.resolve()
    (root / "sheets").mkdir()
    shutil.copy(LOGO, root / "logo.png")
    assert set(load(wren).folders) == {root / "sheets", root / "vans/wren", root / "vans/parts"}
    (root / "brand").mkdir()
    shutil.move(root / "logo.png", root / "brand/logo.png")
    shop("logo: {file: brand/logo.png, alt: a mark}\n")
    assert root / "brand" in load(wren).folders
