"""Whether each charger treats the battery as its chemistry needs."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.calc.battery import chemistry_figures
from vandoc.checks.amount import Amount
from vandoc.checks.charging import split_charges
from vandoc.checks.rule import Breach, Word, rule
from vandoc.model import equipment as eq

LITHIUM = "LiFePO4"


def _pairs(van: Van) -> Iterator[tuple[str, eq.Charger, str, eq.Battery]]:
    """Each charger with each leisure battery that it charges."""
    for ident, charger in van.of_kind(eq.Charger):
        for source in van.sources_in(van.net(f"{ident}.out"), "battery"):
            if source.owner in van.leisure:
                yield ident, charger, source.owner, van.leisure[source.owner]


@rule("absorption-voltage", "float-voltage")
def voltages(van: Van) -> Iterator[Breach]:
    """A charger's voltages lie in the range of the battery's chemistry."""
    for ident, charger, battery_id, battery in _pairs(van):
        words: dict[str, Word] = {
            "charger": van.name(ident),
            "battery": van.name(battery_id),
            "chemistry": battery.chemistry,
        }
        profile, trail = charger.profile, (*van.trail(ident), "profile")
        if profile is None:
            yield Breach("absorption-voltage", ident, trail, words, unknown=True)
            continue
        figures = chemistry_figures(battery.chemistry)
        scale = (charger.output_v or van.system.van.nominal_v) / 12
        for slug, key, volts, allowed in (
            ("absorption-voltage", "absorption", profile.absorption_v, figures.absorption_v),
            ("float-voltage", "float", profile.float_v, figures.float_v),
        ):
            low, high = allowed.low * scale, allowed.high * scale
            if volts is not None and (exceeds(low, volts) or exceeds(volts, high)):
                yield Breach(
                    slug,
                    ident,
                    (*trail, key),
                    {**words, "low": Amount(low, "V"), "high": Amount(high, "V")},
                    Amount(volts, "V"),
                    Amount(high if volts > high else low, "V"),
                    (allowed,),
                )


@rule("no-temperature-sensor")
def temperature_sensor(van: Van) -> Iterator[Breach]:
    """A charger of a lead battery measures the battery's temperature."""
    for ident, charger, battery_id, battery in _pairs(van):
        profile = charger.profile
        if battery.chemistry == LITHIUM or profile is None or profile.temperature_sensor:
            continue
        words = {"charger": van.name(ident), "battery": van.name(battery_id)}
        trail = (*van.trail(ident), "profile")
        cited = (chemistry_figures(battery.chemistry).compensation_mv_per_cell_k,)
        unknown = profile.temperature_sensor is None
        yield Breach("no-temperature-sensor", ident, trail, words, cited=cited, unknown=unknown)


@rule("lithium-charged-in-cold")
def cold(van: Van) -> Iterator[Breach]:
    """A lithium battery that can freeze is heated, or nothing charges it then."""
    pairs = list(_pairs(van))
    for ident, battery in van.leisure.items():
        coldest = van.system.places[battery.place].coldest_c
        lowest = chemistry_figures(battery.chemistry).lowest_charging_c
        if battery.chemistry != LITHIUM or battery.heated or battery.low_temperature_lockout:
            continue
        if coldest >= lowest.low:
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
        yield Breach(
            "lithium-charged-in-cold",
            ident,
            van.trail(ident),
            words,
            Amount(coldest, "°C"),
            Amount(lowest.low, "°C"),
            (lowest,),
            unknown=battery.low_temperature_lockout is None or False not in locks,
        )


@rule("relay-charges-lithium")
def relay_on_lithium(van: Van) -> Iterator[Breach]:
    """A split-charge relay knows nothing of what a lithium battery needs."""
    for ident, _, far in split_charges(van):
        for source in van.sources_in(van.net(far), "battery"):
            battery = van.leisure.get(source.owner)
            if battery is not None and battery.chemistry == LITHIUM:
                words = {"relay": van.name(ident), "battery": van.name(source.owner)}
                yield Breach("relay-charges-lithium", ident, van.trail(ident), words)
