"""Whether batteries can be cut off, share alike and give no more than they may."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.checks.amount import Amount
from vandoc.checks.case import Case, exceeds
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
def isolation(case: Case) -> Iterator[Breach]:
    """A switch cuts each leisure battery off from everything."""
    for ident in case.leisure:
        reached = case.network.flood([f"{ident}.+"], _not_isolator)
        everything = case.network.joined(f"{ident}.+")
        users = [c.owner for c in case.consumers_in(reached) if c.kind != "monitor"]
        users += [s.owner for s in case.network.sources if s.plus in reached and s.owner not in case.leisure]
        if not users:
            continue
        words = {"battery": case.name(ident), "user": case.names(users)}
        isolated = any(joint.kind == "isolator" and joint.start in everything for joint in _joints(case))
        at_battery = any(
            joint.kind == "isolator" and {joint.start, joint.end} & reached for joint in _joints(case)
        )
        slug = "bypasses-isolator" if isolated and at_battery else "no-isolator"
        yield Breach(slug, ident, case.trail(ident), words)


def _joints(case: Case) -> Iterator[Joint]:
    yield from case.network.joints.values()


def _not_isolator(edge: Edge) -> bool:
    return not (isinstance(edge, Joint) and edge.kind == "isolator")


@rule("parallel-batteries-unlike")
def alike(case: Case) -> Iterator[Breach]:
    """Batteries in parallel have the same chemistry and capacity."""
    for bank in banks(case):
        first, *others = bank.idents
        for other in others:
            one, two = case.leisure[first], case.leisure[other]
            if (one.chemistry, one.capacity_ah) != (two.chemistry, two.capacity_ah):
                words = {
                    "battery": case.name(other),
                    "other": case.name(first),
                    "chemistry": two.chemistry,
                    "other_chemistry": one.chemistry,
                }
                found, wanted = Amount(two.capacity_ah, "Ah"), Amount(one.capacity_ah, "Ah")
                yield Breach("parallel-batteries-unlike", other, case.trail(other), words, found, wanted)


@rule("parallel-batteries-uneven")
def even(case: Case) -> Iterator[Breach]:
    """Batteries in parallel share the current alike: plus and minus leave from opposite corners."""
    allowed = constant("uneven sharing")
    for bank in banks(case):
        if len(bank.idents) < 2:
            continue
        amps = {ident: _shares(case, ident) for ident in bank.idents}
        most = max(amps, key=lambda ident: amps[ident])
        least = min(amps, key=lambda ident: amps[ident])
        mean = sum(amps.values()) / len(amps)
        apart = 100 * (amps[most] - amps[least]) / mean if mean > 0 else 0.0
        if exceeds(apart, 100 * allowed.value):
            words: dict[str, Word] = {
                "battery": case.name(most),
                "amps": Amount(amps[most], "A"),
                "other": case.name(least),
                "least": Amount(amps[least], "A"),
                "mean": Amount(mean, "A"),
            }
            found, limit = Amount(apart, "%"), Amount(100 * allowed.value, "%")
            trail = case.trail(most)
            yield Breach("parallel-batteries-uneven", most, trail, words, found, limit, (allowed,))


def _shares(case: Case, ident: str) -> float:
    """The most that a battery gives or takes, of all states. [A]"""
    return max(abs(_leaves(case, ident, state)) for state in case.sizing.states)


def _leaves(case: Case, ident: str, state: State) -> float:
    """What leaves a battery at its plus. [A]"""
    post, amps = f"{ident}.+", case.sizing.states[state].amps
    return sum(amps[e.id] if e.start == post else -amps[e.id] for e in case.network.at(post))


@rule("battery-above-discharge-limit")
def discharge(case: Case) -> Iterator[Breach]:
    """A battery gives no more than its maker lets it."""
    for ident, battery in case.leisure.items():
        words = {"battery": case.name(ident)}
        amps = Amount(max(_leaves(case, ident, State.SUPPLY), 0.0), "A")
        limit = battery.discharge_limit_a
        if limit is None and battery.chemistry == "LiFePO4":
            trail = case.trail(ident)
            yield Breach("battery-above-discharge-limit", ident, trail, words, amps, unknown=True)
        elif limit is not None and exceeds(amps.value, limit):
            trail = (*case.trail(ident), "discharge_limit")
            yield Breach("battery-above-discharge-limit", ident, trail, words, amps, Amount(limit, "A"))


@rule("unusual-block-voltage")
def blocks(case: Case) -> Iterator[Breach]:
    """Nominal voltage and blocks in series belong together."""
    for ident, battery in case.of_kind(eq.Battery):
        nominal = battery.nominal_v or case.system.van.nominal_v
        block = nominal / battery.series
        made = [row.block_v for row in rows("battery_block", _BlockRow) if row.chemistry == battery.chemistry]
        if min(abs(block - volts) for volts in made) > 0.05:
            words: dict[str, Word] = {
                "battery": case.name(ident),
                "chemistry": battery.chemistry,
                "nominal": Amount(nominal, "V"),
                "series": battery.series,
            }
            yield Breach("unusual-block-voltage", ident, case.trail(ident), words, Amount(block, "V"))


DECIDED = {
    "nights": "battery-proposed-for-nights",
    "charging": "battery-proposed-for-charging",
    "alike": "battery-proposed-alike",
    "none fits": "no-battery-fits",
}


@rule(*DECIDED.values())
def proposed(case: Case) -> Iterator[Breach]:
    """The file leaves a capacity open; what was chosen is said, with what decided it."""
    for ident, battery in case.leisure.items():
        found = battery.proposed
        if found is None:
            continue
        figures = dict(found.figures)
        words: dict[str, Word] = {
            "battery": case.name(ident),
            "nights": Amount(figures.get("nights", 0.0)),
            "need": Amount(figures.get("need_ah", 0.0), "Ah"),
            "usable": Amount(figures.get("usable_ah", 0.0), "Ah"),
            "asked": Amount(figures.get("nights", 0.0) * figures.get("need_ah", 0.0), "Ah"),
            "charging": Amount(figures.get("charging_a", 0.0), "A"),
        }
        yield Breach(DECIDED[found.decided], ident, case.trail(ident), words, Amount(found.value, "Ah"))
