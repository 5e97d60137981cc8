"""The demonstration vans: sound, complete, invented, and short to write."""

import re
from pathlib import Path

import pytest
from PIL import Image

from vandoc.analysis import Van
from vandoc.judgement.checks import run
from vandoc.model.chains import passed
from vandoc.reading.loader import load

SITES = Path(__file__).parents[2] / "sites"
VANS = ["curlew", "heron", "wren"]


@pytest.fixture(scope="module")
def judged():
    found = {}
    for name in VANS:
        van_file = load(SITES / name / "van.yml", SITES.parent)
        van = Van.of(van_file)
        found[name] = (van_file, van.sizing, run(van))
    return found


@pytest.mark.parametrize("name", VANS)
def test_no_rule_fails_nothing_is_open_and_at_most_two_are_reviewed(name, judged):
    _, sizing, findings = judged[name]
    assert [str(finding) for finding in findings if finding.severity == "fail" or finding.open] == []
    assert 1 <= len([finding for finding in findings if finding.reviewed]) <= 2
    assert any(conductor.proposed for conductor in sizing.conductors.values())
    assert any(fuse.proposed for fuse in sizing.fuses.values())
    assert any(not conductor.proposed for conductor in sizing.conductors.values())


@pytest.mark.parametrize("name", VANS)
def test_they_say_that_they_are_fictitious(name, judged):
    van_file = judged[name][0]
    assert van_file.system.van.invented
    assert "fictitious" in van_file.path.read_text("utf-8").splitlines()[1]
    # Ofcom keeps +44 1632 960000 to 960999 free for drama; RFC 2606 and RFC 6761 reserve the domains.
    assert re.fullmatch(r"\+44 1632 960 \d{3}", van_file.system.workshop.phone)
    for address in re.findall(r"https?://([^/\s]+)|@(\S+)", van_file.path.read_text("utf-8")):
        host = "".join(address)
        assert host.endswith((".example", "example.org")), host
    for sheet in van_file.files[1:]:
        if sheet.suffix == ".yml":
            assert "fictitious" in sheet.read_text("utf-8").splitlines()[0].lower(), sheet


@pytest.mark.parametrize("name", VANS)
def test_a_plain_final_circuit_is_six_lines_or_less(name):
    text = (SITES / name / "van.yml").read_text("utf-8").partition("\ncircuits:\n")[2].split("\n\n")[0]
    entries = re.split(r"\n(?=  - id:)", re.sub(r"^ *#.*\n", "", text, flags=re.MULTILINE))
    assert len(entries) > 5
    assert max(len(entry.strip("\n").splitlines()) for entry in entries) <= 6


@pytest.mark.parametrize("name", VANS)
def test_an_owner_finds_words(name, judged):
    system = judged[name][0].system
    assert sum(len(load.words) for load in system.loads.values()) >= 5
    assert any(piece.indicators for piece in system.equipment.values())
    for piece in [*system.equipment.values(), *system.loads.values()]:
        for light in piece.indicators:
            assert light.meaning.endswith(".")
            assert light.do.endswith(".")
            assert (light.pattern == "display") == (light.shows is not None)
    fused = {piece.place for piece in system.equipment.values() if piece.kind in ("fuse", "fuse-board")}
    assert all(system.places[place].access for place in fused)


def test_curlew_is_the_large_lithium_van(judged):
    system = judged["curlew"][0].system
    kinds = [piece.kind for piece in system.equipment.values()]
    assert (system.van.nominal_v, system.equipment["house"].chemistry) == (12, "LiFePO4")
    assert system.equipment["alternator"].regulation == "smart"
    assert system.equipment["starter"].sensor
    assert system.equipment["house"].low_temperature_lockout
    chargers = [piece for piece in system.equipment.values() if piece.kind == "charger"]
    assert {charger.source for charger in chargers} == {"alternator", "solar", "mains"}
    assert {"inverter", "monitor", "shunt", "isolator"} <= set(kinds)
    assert len(system.circuits) >= 18
    assert kinds.count("fuse-board") >= 2
    assert any(passed(circuit) for circuit in system.circuits)
    assert any(len(circuit.loads) > 1 for circuit in system.circuits)
    assert len(system.equipment["panels"].indicators) == 0
    assert system.equipment["panels"].series * system.equipment["panels"].parallel == 2


def test_wren_is_the_small_van_with_a_relay(judged):
    system = judged["wren"][0].system
    assert (system.van.nominal_v, system.equipment["house"].chemistry) == (12, "AGM")
    assert system.equipment["alternator"].regulation == "fixed"
    assert system.equipment["relay"].purpose == "split-charge"
    assert 6 <= len(system.circuits) <= 8


def test_heron_is_the_24_volt_van_with_a_12_volt_side(judged):
    system = judged["heron"][0].system
    house = system.equipment["house"]
    assert (system.van.nominal_v, house.chemistry, house.series) == (24, "flooded", 2)
    assert (system.equipment["converter"].input_v, system.equipment["converter"].output_v) == (24, 12)
    assert {load.nominal_v for load in system.loads.values()} >= {12, 24}
    assert system.places[house.place].vents_to == "outside"
    assert system.services


def test_part_sheets_are_shared_and_all_are_used(judged):
    users: dict[str, set[str]] = {}
    for name, (van_file, _, _) in judged.items():
        for file in van_file.files:
            if file.parent.name == "parts":
                users.setdefault(file.name, set()).add(name)
    assert set(users) == {path.name for path in (SITES / "parts").glob("*.yml")}
    assert sum(len(vans) > 1 for vans in users.values()) >= 8


def test_the_picture_is_a_small_drawing_with_words_for_those_who_cannot_see_it(judged):
    picture = judged["curlew"][0].system.places["seat-box"].picture
    path = SITES / "curlew" / picture.file
    assert path.stat().st_size < 30_000
    with Image.open(path) as image:
        assert image.format == "PNG"
        assert len(image.convert("RGB").getcolors(256)) < 64, "a drawing has few colours"
    assert picture.alt.startswith("Drawing")
