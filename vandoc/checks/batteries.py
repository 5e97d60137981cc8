"""Whether batteries can be cut off, share alike and give no more than they may."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van, exceeds
from vandoc.checks.amount import Amount
from vandoc.checks.charging import banks
from vandoc.checks.rule import Breach, Word, rule
from vandoc.data import constant, rows
from vandoc.model import equipment as eq
from vandoc.network.currents import State
from vandoc.network.graph import Edge, Joint


@dataclass(frozen=True)
class _BlockRow:
    chemistry: str
    block_v: float


@rule("no-isolator", "bypasses-isolator")
def isolation(van: Van) -> Iterator[Breach]:
    """A switch cuts each leisure battery off from everything."""
    for ident in van.leisure:
        reached = van.network.flood([f"{ident}.+"], _not_isolator)
        everything = van.network.joined(f"{ident}.+")
        users = [c.owner for c in van.consumers_in(reached) if c.kind != "monitor"]
        users += [s.owner for s in van.network.sources if s.plus in reached and s.owner not in van.leisure]
        if not users:
            continue
        words = {"battery": van.name(ident), "user": van.names(users)}
        isolated = any(joint.kind == "isolator" and joint.start in everything for joint in _joints(van))
        at_battery = any(
            joint.kind == "isolator" and {joint.start, joint.end} & reached for joint in _joints(van)
        )
        slug = "bypasses-isolator" if isolated and at_battery else "no-isolator"
        yield Breach(slug, ident, van.trail(ident), words)


def _joints(van: Van) -> Iterator[Joint]:
    yield from van.network.joints.values()


def _not_isolator(edge: Edge) -> bool:
    return not (isinstance(edge, Joint) and edge.kind == "isolator")


@rule("parallel-batteries-unlike")
def alike(van: Van) -> Iterator[Breach]:
    """Batteries in parallel have the same chemistry and capacity."""
    for bank in banks(van):
        first, *others = bank.idents
        for other in others:
            one, two = van.leisure[first], van.leisure[other]
            if (one.chemistry, one.capacity_ah) != (two.chemistry, two.capacity_ah):
                words = {
                    "battery": van.name(other),
                    "other": van.name(first),
                    "chemistry": two.chemistry,
                    "other_chemistry": one.chemistry,
                }
                found, wanted = Amount(two.capacity_ah, "Ah"), Amount(one.capacity_ah, "Ah")
                yield Breach("parallel-batteries-unlike", other, van.trail(other), words, found, wanted)


@rule("parallel-batteries-uneven")
def even(van: Van) -> Iterator[Breach]:
    """Batteries in parallel share the current alike: plus and minus leave from opposite corners."""
    allowed = constant("uneven sharing")
    for bank in banks(van):
        if len(bank.idents) < 2:
            continue
        amps = {ident: _shares(van, ident) for ident in bank.idents}
        most = max(amps, key=lambda ident: amps[ident])
        least = min(amps, key=lambda ident: amps[ident])
        mean = sum(amps.values()) / len(amps)
        apart = 100 * (amps[most] - amps[least]) / mean if mean > 0 else 0.0
        if exceeds(apart, 100 * allowed.value):
            words: dict[str, Word] = {
                "battery": van.name(most),
                "amps": Amount(amps[most], "A"),
                "other": van.name(least),
                "least": Amount(amps[least], "A"),
                "mean": Amount(mean, "A"),
            }
            found, limit = Amount(apart, "%"), Amount(100 * allowed.value, "%")
            trail = van.trail(most)
            yield Breach("parallel-batteries-uneven", most, trail, words, found, limit, (allowed,))


def _shares(van: Van, ident: str) -> float:
    """The most that a battery gives or takes, of all states. [A]"""
    return max(abs(_leaves(van, ident, state)) for state in van.sizing.states)


def _leaves(van: Van, ident: str, state: State) -> float:
    """What leaves a battery at its plus. [A]"""
    post, amps = f"{ident}.+", van.sizing.states[state].amps
    return sum(amps[e.id] if e.start == post else -amps[e.id] for e in van.network.at(post))


@rule("battery-above-discharge-limit")
def discharge(van: Van) -> Iterator[Breach]:
    """A battery gives no more than its maker lets it."""
    for ident, battery in van.leisure.items():
        words = {"battery": van.name(ident)}
        amps = Amount(max(_leaves(van, ident, State.SUPPLY), 0.0), "A")
        limit = battery.discharge_limit_a
        if limit is None and battery.chemistry == "LiFePO4":
            trail = van.trail(ident)
            yield Breach("battery-above-discharge-limit", ident, trail, words, amps, unknown=True)
        elif limit is not None and exceeds(amps.value, limit):
            trail = (*van.trail(ident), "discharge_limit")
            yield Breach("battery-above-discharge-limit", ident, trail, words, amps, Amount(limit, "A"))


@rule("unusual-block-voltage")
def blocks(van: Van) -> Iterator[Breach]:
    """Nominal voltage and blocks in series belong together."""
    for ident, battery in van.of_kind(eq.Battery):
        nominal = battery.nominal_v or van.system.van.nominal_v
        block = nominal / battery.series
        made = [row.block_v for row in rows("battery_block", _BlockRow) if row.chemistry == battery.chemistry]
        if min(abs(block - volts) for volts in made) > 0.05:
            words: dict[str, Word] = {
                "battery": van.name(ident),
                "chemistry": battery.chemistry,
                "nominal": Amount(nominal, "V"),
                "series": battery.series,
            }
            yield Breach("unusual-block-voltage", ident, van.trail(ident), words, Amount(block, "V"))


DECIDED = {
    "nights": "battery-proposed-for-nights",
    "charging": "battery-proposed-for-charging",
    "alike": "battery-proposed-alike",
    "none fits": "no-battery-fits",
}


@rule(*DECIDED.values())
def proposed(van: Van) -> Iterator[Breach]:
    """The file leaves a capacity open; what was chosen is said, with what decided it."""
    for ident, battery in van.leisure.items():
        found = battery.proposed
        if found is None:
            continue
        figures = dict(found.figures)
        words: dict[str, Word] = {
            "battery": van.name(ident),
            "nights": Amount(figures.get("nights", 0.0)),
            "need": Amount(figures.get("need_ah", 0.0), "Ah"),
            "usable": Amount(figures.get("usable_ah", 0.0), "Ah"),
            "asked": Amount(figures.get("nights", 0.0) * figures.get("need_ah", 0.0), "Ah"),
            "charging": Amount(figures.get("charging_a", 0.0), "A"),
        }
        yield Breach(DECIDED[found.decided], ident, van.trail(ident), words, Amount(found.value, "Ah"))
