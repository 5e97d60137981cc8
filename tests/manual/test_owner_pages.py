"""What the owner's pages say of the demonstration vans, against what their files say."""

import re
from typing import Any

import pytest

from tests.manual.manuals import VANS, judged, manual, markdown_paths, page, words
from vandoc.analysis.diagnosis.permitted import owner_pulls
from vandoc.pages.manual.page import CAUTIONS

# ISO 8820-3 / DIN 72581-3: colour of the body by rating in ampere; blade types C and F share these.
ISO_8820_3 = {1: "black", 2: "grey", 3: "violet", 4: "pink", 5: "light brown", 7.5: "brown", 10: "red"}
ISO_8820_3 |= {
    15: "light blue",
    20: "yellow",
    25: "natural",
    30: "light green",
    35: "blue-green",
    40: "orange",
}

# BCI open-circuit tables for 12 V batteries at rest, state of charge to volts, from memory (flooded, VRLA).
NEW_FUSE = "push in a new fuse"
PROPOSED = "This rating was calculated."
BCI = {
    "flooded": {100: 12.65, 75: 12.45, 50: 12.24, 25: 12.06, 0: 11.89},
    "AGM": {100: 12.8, 75: 12.6, 50: 12.3, 25: 12.0, 0: 11.8},
}


def plain(van: str) -> dict[str, Any]:
    """The van file with its part sheets, as plain data."""
    return judged(van).van_file.tree.plain()


def circuits() -> list[Any]:
    found = []
    for van in VANS:
        for circuit in plain(van)["circuits"]:
            loads = circuit["load"] if isinstance(circuit["load"], list) else [circuit["load"]]
            found += [pytest.param(van, circuit, load, id=f"{van}-{load}") for load in loads]
    return found


def rows(tree: Any) -> dict[str, list[str]]:
    """The rows of an index: what they say, and where they lead."""
    found: dict[str, list[str]] = {}
    for link in tree.iter("a"):
        if len(link) and link[0].tag == "strong":
            found.setdefault(link[0].text, []).append(link.get("href"))
    return found


@pytest.mark.parametrize(("van", "circuit", "load"), circuits())
def test_each_load_leads_to_the_page_of_its_fuse(van, circuit, load):
    fuse, thing = circuit["fuse"], plain(van)["loads"][load]
    target = f"fuse/{fuse['board']}.{fuse['position']}.html"
    listed = rows(page(van, "stopped.md"))
    for word in (thing["name"], *thing.get("words", ())):
        assert target in listed[word[0].upper() + word[1:]], word
    tree = page(van, target.replace(".html", ".md"))
    board = plain(van)["equipment"][fuse["board"]]
    place = plain(van)["places"][board["place"]]
    said = words(tree)
    assert words(next(tree.iter("strong"))) == str(fuse["position"])
    assert place["label"] in said
    assert place["access"] in said
    assert board["name"] in said
    assert thing["name"] in said.lower() or thing["name"] in said
    if "rating" in fuse:
        amps = float(fuse["rating"].split()[0])
        assert f"{amps:g} A, {ISO_8820_3[amps]}" in said
        assert PROPOSED not in said
    else:
        assert PROPOSED in said


@pytest.mark.parametrize("van", VANS)
def test_the_start_page_opens_five_doors(van):
    doors = [list_ for list_ in page(van, "index.md").iter("ul") if list_.get("class") == "doors"]
    assert [link.get("href") for link in doors[0].iter("a")] == [
        "safe.html",
        "trouble.html",
        "stopped.html",
        "lights.html",
        "care.html",
    ]


@pytest.mark.parametrize("van", VANS)
def test_the_start_page_says_what_there_is_and_whom_to_call(van):
    said, data = words(page(van, "index.md")), plain(van)
    assert data["workshop"]["name"] in said
    assert data["workshop"]["phone"] in said
    for piece in data["equipment"].values():
        if piece["kind"] == "battery" and piece.get("role") != "starter":
            assert piece["capacity"].replace(" ", " ") in said
    for place in data["places"].values():
        assert place["label"] in said
    assert "This van does not exist" in said


@pytest.mark.parametrize("van", VANS)
def test_make_it_safe_names_the_switch_before_anything_else(van):
    said, data = words(page(van, "safe.md")), plain(van)
    switch = next(piece for piece in data["equipment"].values() if piece["kind"] == "isolator")
    place = data["places"][switch["place"]]
    start = said.index(place["access"])
    assert said.lower().index(switch["name"]) < start < said.index("DANGER")
    assert place["label"] in said[: said.index("DANGER")]


@pytest.mark.parametrize("van", ["curlew", "heron"])
def test_devices_that_must_cool_down_are_switched_off_before_the_battery(van):
    steps = [words(step) for step in page(van, "safe.md").iter("li") if step.find("span") is not None]
    cooling = next(number for number, step in enumerate(steps) if "diesel heater" in step)
    switch = next(
        number for number, step in enumerate(steps) if step.startswith("Turn off the main battery switch")
    )
    assert "CAUTION" in steps[cooling]
    assert cooling < switch


def test_circuits_that_the_switch_leaves_live_are_named():
    # Curlew's driving charger is fed from the starter battery, which the switch does not disconnect.
    said = words(page("curlew", "safe.md"))
    assert "driving charger" in said[said.index("What is still live after these steps") :]


@pytest.mark.parametrize("van", VANS)
def test_a_fuse_is_changed_by_the_owner_only_where_that_is_safe(van):
    # Common practice, no source: bolted fuses, those above 60 A and those on a battery are for the workshop.
    found = judged(van)
    for ident, fuse in found.sizing.fuses.items():
        said = words(page(van, f"fuse/{ident}.md"))
        blade = fuse.link.family in ("C", "E", "F")
        pulls = owner_pulls(found.system, found.network, fuse.link, fuse.rating_a)
        assert pulls == (NEW_FUSE in said)  # as in the fault-finding trees
        if not blade or fuse.rating_a > 60:
            assert "Leave this fuse to the workshop" in said
            assert NEW_FUSE not in said
        if NEW_FUSE in said:
            assert said.index(CAUTIONS["fuse-rating.avoid"]) < said.index(NEW_FUSE)
            assert said.index(NEW_FUSE) < said.index(CAUTIONS["fuse-again.avoid"])


def test_a_blown_main_fuse_stops_everything_and_parts_the_battery():
    said = words(page("curlew", "fuse/main-fuse.md"))
    for load in plain("curlew")["loads"].values():
        assert load["name"] in said
    assert "not connected to the van: leisure battery" in said


def test_the_next_fuse_towards_the_battery_is_named():
    said = words(page("curlew", "fuse/galley-board.1.md"))
    assert re.search(r"next fuse towards the battery: Fuse 2 of the main fuse box.*Then: Main fuse", said)


@pytest.mark.parametrize("van", VANS)
def test_every_light_is_drawn_and_explained(van):
    said, data = words(page(van, "lights.md")), plain(van)
    count = 0
    for thing in (*data["equipment"].values(), *data["loads"].values()):
        for one in thing.get("indicators", ()):
            count += 1
            assert " ".join(one["meaning"].split()) in said
            assert " ".join(one["do"].split()) in said
    drawings = [e for e in page(van, "lights.md").iter() if str(e.tag).endswith("svg")]
    assert len(drawings) == count > 0


@pytest.mark.parametrize(("van", "chemistry", "units"), [("wren", "AGM", 1), ("heron", "flooded", 2)])
def test_rest_voltages_are_those_of_the_published_table(van, chemistry, units):
    table = next(one for one in page(van, "battery.md").iter("table") if "At rest" in words(one))
    shown = [float(words(cells[0]).split()[0]) for cells in table.iter("tr") if cells[0].tag == "td"]
    assert shown == pytest.approx([volts * units for volts in BCI[chemistry].values()], abs=0.005)
    assert "from memory" in words(page(van, "battery.md"))


def test_battery_care_is_for_the_chemistry_that_is_fitted():
    said = {van: words(page(van, "battery.md")) for van in VANS}
    # Common practice, no source: only vented lead is topped up; only lithium must not be charged in frost.
    assert ["distilled water" in said[van] for van in VANS] == [False, False, True]
    assert ["below 0 °C" in said[van] for van in VANS] == [True, False, False]
    assert ["hydrogen" in said[van] for van in VANS] == [False, True, True]


@pytest.mark.parametrize(("van", "often"), [("heron", "month"), ("wren", "two months")])
def test_a_flooded_battery_is_charged_most_often_in_winter_storage(van, often):
    # Common practice, no source: a flooded battery loses more by itself, and an empty one freezes.
    assert f": charge every {often}. The loss" in words(page(van, "winter.md"))


@pytest.mark.parametrize("van", ["curlew", "heron"])
def test_the_hook_up_lead_is_connected_at_the_van_first_and_unplugged_at_the_supply_first(van):
    # IEC 60364-7-721 / BS 7671 section 721, notice for users of caravans.
    said = words(page(van, "charging.md"))
    order = [
        "Touching it kills",
        "Unroll the whole lead",
        "Plug in at the van first",
        "Then plug in at the hook-up post",
    ]
    order += ["Press the test button", "Unplug at the hook-up post first", "Then unplug at the van"]
    places = [said.index(text) for text in order]
    assert places == sorted(places)


def test_a_van_without_mains_says_nothing_of_it():
    assert "hook-up" not in words(page("wren", "charging.md")).lower()
    assert "hook-up and its charger" not in words(page("wren", "cautions.md"))


@pytest.mark.parametrize("van", VANS)
def test_spares_are_the_blade_fuses_in_use(van):
    said = words(page(van, "care.md"))
    for fuse in judged(van).sizing.fuses.values():
        if fuse.link.family in ("C", "F"):
            assert f"{fuse.rating_a:g} A, {ISO_8820_3[fuse.rating_a]}" in said


@pytest.mark.parametrize("van", VANS)
def test_a_plan_marks_the_place_on_every_page_of_a_fuse(van):
    for path in markdown_paths(manual(van)):
        if path.startswith("fuse/"):
            marked = [e for e in page(van, path).iter() if "place sought" in (e.get("class") or "")]
            assert len(marked) == 1, path
