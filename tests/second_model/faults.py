"""What goes wrong in vans: this model's own list, with what a page may rightly say about each."""

from collections.abc import Iterator
from random import Random

from tests.second_model.van import OPEN_OHM, Fault
from tests.second_model.van_file import Drawing

ANY: frozenset[str] = frozenset()
LEAST_OHM, MOST_OHM, OPEN_SHARE = 0.003, 10.0, 0.25
NEEDS_SOMETHING = {"pump": "water", "toilet": "water", "heater": "fuel"}
FLUIDS = frozenset({"needs-water", "needs-fuel", "needs-gas", "needs-anything"})


def some_ohm(pick: Random) -> float:
    """The resistance of a poor contact: open, or of any size. [ohm]"""
    if pick.random() < OPEN_SHARE:
        return OPEN_OHM
    return LEAST_OHM * (MOST_OHM / LEAST_OHM) ** pick.random()


def faults(drawing: Drawing, pick: Random) -> Iterator[Fault]:
    """Yield every fault once, each poor contact with a size of its own."""
    yield from _copper(drawing, pick)
    yield from _contacts(drawing, pick)
    yield from _appliances(drawing)
    yield from _sources(drawing)


def _copper(drawing: Drawing, pick: Random) -> Iterator[Fault]:
    for number, cable in enumerate(drawing.cables):
        part = ((cable.part, ANY),)
        for place, spot in (("a", cable.start), ("b", cable.end)):
            size = {f"{number}{place}": some_ohm(pick)}
            yield Fault(f"lug {cable.part} at {spot}", size, parts=part, touches=cable.part)
        yield Fault(f"cable-open {cable.part}", {f"{number}w": OPEN_OHM}, parts=part, touches=cable.part)
    for load in drawing.loads:
        part = tuple((cable.part, ANY) for cable in drawing.cables if cable.end == f"{load}.+")[-1:]
        if part:
            yield Fault(
                f"comes-and-goes {load}",
                told=frozenset({"still-so"}),
                ends=frozenset({"still-so"}),
                parts=part,
                touches=part[0][0],
            )
    for name in drawing.fuses:
        own = ((name, ANY),)
        yield Fault(f"fuse-blown {name}", {name: OPEN_OHM}, parts=own, touches=name, looks_blown=True)
        yield Fault(f"fuse-holder {name}", {name: some_ohm(pick)}, parts=own, touches=name)
        yield Fault(f"fuse-unseated {name}", {name: OPEN_OHM}, parts=own, touches=name)


def _contacts(drawing: Drawing, pick: Random) -> Iterator[Fault]:
    for name, piece in drawing.pieces.items():
        own = ((name, ANY),)
        if piece["kind"] in ("isolator", "switch"):
            off = ((name, frozenset({"left-off", "stuck-open"})),)
            yield Fault(
                f"left-off {name}", {name: OPEN_OHM}, parts=off, told=frozenset({f"off {name}"}), touches=name
            )
            yield Fault(f"stuck-open {name}", {name: OPEN_OHM}, parts=own, touches=name)
            yield Fault(f"switch-contact {name}", {name: some_ohm(pick)}, parts=own, touches=name)
        elif piece["kind"] in ("relay", "ignition-contact"):
            yield Fault(f"stuck-open {name}", {name: OPEN_OHM}, parts=own, touches=name)
            yield Fault(f"switch-contact {name}", {name: some_ohm(pick)}, parts=own, touches=name)
        elif piece["kind"] in ("earth-point", "alternator"):
            yield Fault(
                f"poor-earth {name}",
                {name: some_ohm(pick)},
                parts=((name, frozenset({"earth-bad"})),),
                touches=name,
            )
        elif piece["kind"] == "shunt":
            yield Fault(f"shunt-open {name}", {name: OPEN_OHM}, parts=own, touches=name)


def _appliances(drawing: Drawing) -> Iterator[Fault]:
    for load, entry in drawing.loads.items():
        yield Fault(
            f"dead-appliance {load}",
            gone=frozenset({load}),
            parts=((load, frozenset({"dead"})),),
            touches=load,
        )
        yield Fault(
            f"own-switch {load}",
            gone=frozenset({f"own {load}"}),
            told=frozenset({"own-switch"}),
            ends=frozenset({"own-switch"}),
            touches=load,
        )
        needs = entry.get("needs")
        empty = [f"needs-{one}" for one in needs or [] if one in ("water", "fuel", "gas")]
        if load in NEEDS_SOMETHING and needs is None:
            empty = ["needs-anything", f"needs-{NEEDS_SOMETHING[load]}"]
        if empty:
            yield Fault(
                f"empty-tank {load}",
                gone=frozenset({f"own {load}"}),
                told=frozenset(empty),
                ends=frozenset(FLUIDS),
                touches=load,
            )


def _sources(drawing: Drawing) -> Iterator[Fault]:
    house = drawing.house
    lithium = str(drawing.pieces[house].get("chemistry")) == "LiFePO4"
    yield Fault(
        "flat-battery",
        gone=frozenset({"flat"}),
        world={"charge": 3.0},
        told=frozenset({"low"}),
        parts=((house, frozenset({"flat"})),),
        ends=frozenset({"low"}),
    )
    worn = frozenset({"worn", "cell-gone"})
    yield Fault(
        "worn-battery", world={"battery_share": 12.0}, parts=((house, worn),), ends=frozenset({"worn"})
    )
    if not lithium:
        yield Fault("cell-gone", gone=frozenset({"cell"}), parts=((house, worn),))
    for name, piece in drawing.pieces.items():
        own = ((name, frozenset({"dead"})),)
        if piece["kind"] in ("charger", "converter", "inverter", "alternator"):
            yield Fault(f"dead-{piece['kind']} {name}", gone=frozenset({name}), parts=own, touches=name)
        if piece["kind"] == "inverter":
            yield Fault(
                f"own-switch {name}",
                gone=frozenset({name}),
                told=frozenset({"own-switch"}),
                ends=frozenset({"own-switch"}),
                touches=name,
            )
        if piece["kind"] == "alternator" and piece.get("regulation") == "smart":
            yield Fault(
                f"resting-alternator {name}",
                world={"alternator_v": 12.6 / 12},
                told=frozenset({"resting"}),
                ends=frozenset({"resting"}),
            )
        if piece["kind"] == "charger" and piece.get("ignition_feed"):
            yield Fault(
                f"ignition-lost {name}",
                gone=frozenset({f"sense {name}"}),
                parts=((name, frozenset({"ignition-lost", "dead"})),),
                touches=name,
            )
        if piece["kind"] == "charger" and piece["source"] == "mains":
            yield Fault(
                "no-mains", world={"mains": False}, told=frozenset({"outside"}), ends=frozenset({"outside"})
            )
        if piece["kind"] == "solar-array":
            given = ((name, frozenset({"not-feeding", "half-array"})),)
            yield Fault("no-sun", world={"sun": 0.0}, told=frozenset({"no-sun"}), ends=frozenset({"no-sun"}))
            yield Fault(
                f"dead-panel {name}", gone=frozenset({name}), parts=((name, frozenset({"not-feeding"})),)
            )
            if piece.get("series", 1) > 1:
                yield Fault(f"half-array {name}", half=True, parts=given)
    if lithium:
        yield Fault("too-cold", world={"cold": True}, told=frozenset({"cold"}), ends=frozenset({"cold"}))
