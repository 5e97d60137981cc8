"""The van has an alarm for each danger that nobody notices asleep."""

from collections.abc import Iterator
from typing import get_args

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, Phrase, review, rule
from vandoc.model.fitting import Detects


@rule(review("alarm-missing"))
def alarm_missing(van: Van) -> Iterator[Breach]:
    """The van has an alarm for each danger that nobody notices asleep."""
    gas = any(place.gas_locker for place in van.system.places.values())
    fitted = {alarm.detects for alarm in van.system.alarms}
    for danger in get_args(Detects):
        if danger not in fitted and (danger != "gas" or gas):
            key = danger.replace(" ", "-")
            yield Breach(
                "alarm-missing", "alarms", ("alarms",), {"danger": Phrase(f"alarm-{key}"), "of": danger}
            )
