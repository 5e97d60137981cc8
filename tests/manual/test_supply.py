"""What feeds what and what stops, on wirings small enough to see the answer."""

from pathlib import Path

import yaml

from vandoc.analysis import Van
from vandoc.pages.manual.supply import Supply
from vandoc.reading.loader import load

PLACE = {"box": {"label": "in the box", "at": {"back": "2 m", "across": "1 m"}}}


def supply(
    folder: Path,
    equipment: dict,
    cables: list[tuple[str, str]],
    circuits: list[dict],
    extra: tuple[str, ...] = (),
) -> Supply:
    every = {name: {"name": name, "place": "box", **piece} for name, piece in equipment.items()}
    loads = {*extra, *(circuit["load"] for circuit in circuits)}
    data = {
        "van": {"name": "T", "nominal": "12 V", "size": {"length": "5 m", "width": "2 m", "driver": "left"}},
        "workshop": {"name": "W"},
        "places": PLACE,
        "equipment": every,
        "loads": {load: {"name": load, "place": "box", "current": "2 A"} for load in sorted(loads)},
        "cables": [{"from": start, "to": end, "length": "1 m", "area": "10 mm²"} for start, end in cables],
        "circuits": circuits,
    }
    path = folder / "van.yml"
    path.write_text(yaml.safe_dump(data, allow_unicode=True), "utf-8")
    van = Van.of(load(path))
    return Supply(van.system, van.network, van.sizing)


BATTERY = {"kind": "battery", "chemistry": "AGM", "capacity": "100 Ah"}
FUSE = {"kind": "fuse", "family": "C", "rating": "30 A"}
BOARD = {"kind": "fuse-board", "family": "C", "rows": 1, "columns": 2}


def circuit(board: str, position: int, load: str) -> dict:
    fuse = {"board": board, "position": position, "rating": "5 A"}
    return {
        "id": load,
        "fuse": fuse,
        "cable": {"length": "1 m", "area": "1.5 mm²"},
        "load": load,
        "return": "chassis",
    }


def plain(folder: Path) -> Supply:
    return supply(
        folder,
        {"house": BATTERY, "main": FUSE, "board": BOARD},
        [("house.+", "main.in"), ("main.out", "board.in"), ("house.-", "chassis")],
        [circuit("board", 1, "pump"), circuit("board", 2, "lamp")],
    )


def test_a_board_fuse_stops_its_load_alone_and_a_main_fuse_all(tmp_path):
    found = plain(tmp_path)
    fuses = found.network.fuses
    assert found.loss(fuses["board.1"]).stops == ("pump",)
    main = found.loss(fuses["main"])
    assert set(main.stops) == {"pump", "lamp"}
    assert main.cut_off == ("house",)


def parallel(folder: Path, common: bool) -> Supply:
    """Two batteries, each with its fuse, and an alarm with a fuse of its own on the first."""
    bar = {"kind": "busbar", "rating": "200 A"}
    fuses = dict.fromkeys(("fa", "fb", "alarm-fuse", *(["main"] if common else [])), FUSE)
    feed = [("bar", "main.in"), ("main.out", "board.in")] if common else [("bar", "board.in")]
    return supply(
        folder,
        {"a": BATTERY, "b": BATTERY, **fuses, "bar": bar, "minus": bar, "board": BOARD},
        [
            ("a.+", "fa.in"),
            ("b.+", "fb.in"),
            ("fa.out", "bar"),
            ("fb.out", "bar"),
            *feed,
            ("a.+", "alarm-fuse.in"),
            ("alarm-fuse.out", "alarm.+"),
            ("alarm.-", "minus"),
            ("a.-", "minus"),
            ("b.-", "minus"),
            ("minus", "chassis"),
        ],
        [circuit("board", 1, "pump"), circuit("board", 2, "lamp")],
        extra=("alarm",),
    )


def test_a_main_fuse_takes_a_board_from_all_batteries(tmp_path):
    found = parallel(tmp_path, common=True)
    assert [fuse.id for fuse in found.main_fuses] == ["main"]
    assert [fuse.id for fuse in found.fuses_of_everything] == ["main"]
    assert [fuse.id for fuse in found.fuses_of_battery("a")] == ["fa"]
    assert [fuse.id for fuse in found.fuses_of_battery("b")] == ["fb"]


def test_of_parallel_batteries_no_fuse_alone_takes_everything(tmp_path):
    found = parallel(tmp_path, common=False)
    assert found.main_fuses == found.fuses_of_everything == ()
    assert [fuse.id for fuse in found.fuses_of_battery("a")] == ["fa"]


def test_the_fuse_of_a_second_board_is_not_that_of_everything(tmp_path):
    found = supply(
        tmp_path,
        {"house": BATTERY, "main": FUSE, "board": BOARD, "feed": FUSE, "galley": BOARD},
        [
            ("house.+", "main.in"),
            ("main.out", "board.in"),
            ("main.out", "feed.in"),
            ("feed.out", "galley.in"),
            ("house.-", "chassis"),
        ],
        [circuit("board", 1, "pump"), circuit("galley", 1, "lamp")],
    )
    assert {fuse.id for fuse in found.main_fuses} == {"main", "feed"}
    assert [fuse.id for fuse in found.fuses_of_everything] == ["main"]


def test_the_fuses_towards_the_battery_come_in_order(tmp_path):
    found = plain(tmp_path)
    assert [fuse.id for fuse in found.fuses_towards("pump.+")] == ["board.1", "main"]
    assert found.sits_on_battery(found.network.fuses["main"])
    assert not found.sits_on_battery(found.network.fuses["board.1"])


def test_a_second_battery_keeps_loads_live(tmp_path):
    found = supply(
        tmp_path,
        {"a": BATTERY, "b": BATTERY, "fa": FUSE, "fb": FUSE, "board": BOARD},
        [
            ("a.+", "fa.in"),
            ("b.+", "fb.in"),
            ("fa.out", "board.in"),
            ("fb.out", "board.in"),
            ("a.-", "chassis"),
            ("b.-", "chassis"),
        ],
        [circuit("board", 1, "pump")],
    )
    lost = found.loss(found.network.fuses["fa"])
    assert lost.stops == ()
    assert lost.cut_off == ("a",)


def test_a_converter_passes_supply_on(tmp_path):
    converter = {"kind": "converter", "input": "24 V", "output_voltage": "12 V", "output": "10 A"}
    converter = {"kind": "converter", "input_voltage": "24 V", "output_voltage": "12 V", "output_a": "10 A"}
    converter["output"] = converter.pop("output_a")
    found = supply(
        tmp_path,
        {"house": {**BATTERY, "nominal": "24 V"}, "main": FUSE, "step": converter, "board": BOARD},
        [
            ("house.+", "main.in"),
            ("main.out", "step.in"),
            ("step.out", "board.in"),
            ("step.-", "chassis"),
            ("house.-", "chassis"),
        ],
        [circuit("board", 1, "pump")],
    )
    assert set(found.loss(found.network.fuses["main"]).stops) == {"step", "pump"}
    assert [fuse.id for fuse in found.fuses_towards("pump.+")] == ["board.1", "main"]


def test_a_split_charge_relay_is_open_when_parked_but_charges_on_the_road(tmp_path):
    relay = {"kind": "relay", "purpose": "split-charge", "rating": "100 A"}
    alternator = {"kind": "alternator", "rating": "90 A", "regulation": "fixed"}
    found = supply(
        tmp_path,
        {
            "starter": {**BATTERY, "role": "starter"},
            "alternator": alternator,
            "house": BATTERY,
            "link": FUSE,
            "relay": relay,
            "main": FUSE,
            "board": BOARD,
        },
        [
            ("alternator.+", "starter.+"),
            ("starter.+", "link.in"),
            ("link.out", "relay.a"),
            ("relay.b", "house.+"),
            ("house.+", "main.in"),
            ("main.out", "board.in"),
            ("starter.-", "chassis"),
            ("house.-", "chassis"),
        ],
        [circuit("board", 1, "pump")],
    )
    lost = found.loss(found.network.fuses["link"])
    assert lost.stops == ()
    assert lost.idle == ("alternator",)
    assert [fuse.id for fuse in found.fuses_towards("pump.+")] == ["board.1", "main"]


def test_a_charger_downstream_of_a_blown_fuse_is_idle(tmp_path):
    charger = {"kind": "charger", "source": "mains", "output": "20 A"}
    found = supply(
        tmp_path,
        {"house": BATTERY, "plug": charger, "link": FUSE},
        [("plug.out", "link.out"), ("link.in", "house.+"), ("plug.-", "chassis"), ("house.-", "chassis")],
        [],
    )
    assert found.loss(found.network.fuses["link"]).idle == ("plug",)
    assert [fuse.id for fuse in found.fuses_to_battery("plug.out")] == ["link"]
