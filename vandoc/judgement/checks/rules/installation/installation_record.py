"""The installer has recorded the work on the vehicle itself, and the van carries what was fitted."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.model import equipment as eq
from vandoc.model.fitting import Installation

ASKED = (
    "gas_and_fuel_lines",
    "seat_and_airbag_wiring",
    "crimp_tool",
    "pull_test",
    "weight_kg",
    "payload_kg",
)
WITH_MAINS = ("body_bonding", "gas_pipe_bonding")


@rule(review("installation-not-recorded"), fail("payload-exceeded"))
def installation_record(van: Van) -> Iterator[Breach]:
    """The installer has recorded the work on the vehicle itself, and the van carries what was fitted."""
    record = van.system.installation or Installation()
    asked = ASKED + WITH_MAINS if van.system.mains or _has_mains(van) else ASKED
    missing = [key.removesuffix("_kg") for key in asked if getattr(record, key) is None]
    if missing:
        words = {"missing": "', '".join(missing)}
        yield Breach("installation-not-recorded", "installation", ("installation",), words)
    weight, payload = record.weight_kg, record.payload_kg
    if weight is not None and payload is not None and exceeds(weight, payload):
        value, limit = Amount(weight, "kg"), Amount(payload, "kg")
        yield Breach("payload-exceeded", "installation", ("installation", "weight"), {}, value, limit)


def _has_mains(van: Van) -> bool:
    chargers = any(charger.source == "mains" for _, charger in van.of_kind(eq.Charger))
    return chargers or any(van.of_kind(eq.Inverter))
