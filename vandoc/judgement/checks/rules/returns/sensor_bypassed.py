"""A negative terminal with a battery sensor has no other connection."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq
from vandoc.physics.network.graph import far_end


@rule(fail("sensor-bypassed", pieces.sensor))
def sensor(van: Van) -> Iterator[Breach]:
    """A negative terminal with a battery sensor has no other connection."""
    for ident, battery in van.of_kind(eq.Battery):
        if not battery.sensor:
            continue
        post = f"{ident}.-"
        for cable in van.cables_at(post):
            if far_end(cable, post).endswith(".+"):
                continue  # a link to the next battery in series
            words = {"cable": cable.id, "battery": van.name(ident), "post": post}
            yield Breach("sensor-bypassed", ident, cable.trail, words)
