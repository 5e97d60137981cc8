"""A battery that the cold spoils while it charges is heated or has a low-temperature charging cut-off."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import set_to
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.judgement.checks.shared.charging import split_charges
from vandoc.judgement.checks.shared.profiles import pairs_of


@rule(
    fail("lithium-charged-in-cold", set_to("low_temperature_lockout", True)), review("cold-limit-not-known")
)
def cold(van: Van) -> Iterator[Breach]:
    """A battery that the cold spoils while it charges is heated or has a low-temperature charging cut-off."""
    pairs = list(pairs_of(van))
    for ident, battery in van.leisure.items():
        coldest = van.system.places[battery.place].coldest_c
        traits, lowest = battery.traits, battery.traits.lowest_charging_c
        if traits.plating is False or battery.heated or battery.low_temperature_lockout:
            continue
        if lowest is not None and coldest >= lowest.high:
            continue
        locks = [
            charger.profile.low_temperature_lockout if charger.profile else None
            for _, charger, other, _ in pairs
            if other == ident
        ]
        node = f"{ident}.+"
        if any(node in van.net(far) for _, _, far in split_charges(van)):
            locks.append(False)
        if all(locks):
            continue
        words = {"battery": van.name(ident), "place": van.system.places[battery.place].label}
        if traits.plating is None or lowest is None:
            yield Breach("cold-limit-not-known", ident, van.trail(ident), words, Amount(coldest, "°C"))
            continue
        yield Breach(
            "lithium-charged-in-cold",
            ident,
            van.trail(ident),
            words,
            Amount(coldest, "°C"),
            Amount(lowest.high, "°C"),
            (lowest,),
            unknown=battery.low_temperature_lockout is None or False not in locks,
        )
