"""The heater of a tank switches off when the tank is empty."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("tank-heater-dry"))
def tank_heater_dry(van: Van) -> Iterator[Breach]:
    """The heater of a tank switches off when the tank is empty."""
    for ident, load in van.system.loads.items():
        if load.heats_tank and not load.dry_run_protection:
            words, unknown = {"load": load.name}, load.dry_run_protection is None
            yield Breach("tank-heater-dry", ident, van.trail(ident), words, unknown=unknown)
