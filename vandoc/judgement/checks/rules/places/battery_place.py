"""A leisure battery is not where heat, fuel or gas can set it off, nor where it burns beside people."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, Phrase, Word, fail, rule


@rule(
    fail("lithium-in-engine-space"),
    fail("battery-beside-hazard"),
    fail("lithium-in-sleeping-space"),
)
def place(van: Van) -> Iterator[Breach]:
    """A leisure battery is not where heat, fuel or gas can set it off, nor where it burns beside people."""
    for ident, battery in van.system.leisure.items():
        here, trail = van.system.places[battery.place], van.trail(ident)
        runaway = battery.traits.fire != "acid"
        words: dict[str, Word] = {
            "battery": battery.name,
            "place": here.label,
            "family": battery.traits.names.family,
        }
        if runaway and here.engine_space:
            yield Breach("lithium-in-engine-space", ident, trail, words)
        if here.beside is None:
            yield Breach("battery-beside-hazard", ident, trail, words, unknown=True)
        else:
            for thing in dict.fromkeys(here.beside):
                if thing != "exhaust" or runaway:
                    named = {**words, "thing": Phrase(f"beside-{thing}")}
                    yield Breach("battery-beside-hazard", ident, trail, named)
        if runaway and here.inside and here.sleeping is not False and here.vents_to != "outside":
            unknown = here.sleeping is None or here.vents_to is None
            yield Breach("lithium-in-sleeping-space", ident, trail, words, unknown=unknown)
