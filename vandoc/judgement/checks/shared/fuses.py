"""Functions shared by the rules on fuses."""

from dataclasses import dataclass

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES, breaking_capacity
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import CitedFigure, Phrase, Word
from vandoc.physics.network.graph import FuseLink
from vandoc.physics.sizing import SizedFuse


@dataclass(frozen=True)
class BreakingFigure:
    """The breaking capacity of a fuse and its source. [A]"""

    amps_a: float
    cited: CitedFigure | Phrase
    in_print: bool


def figures(van: Van, link: FuseLink, volts: float) -> list[BreakingFigure]:
    """Return the breaking capacities of a fuse; the manufacturer's figure removes all higher ones.

    A figure from a document of the manufacturer that is named counts like one of a standard.
    """
    found = []
    for kind in ("standard", "trade"):
        known = breaking_capacity(link.family, volts, kind)
        if known is not None:
            in_print = kind == "standard" and not known.from_memory
            found.append(BreakingFigure(known.amps_a, known, in_print))
    if link.breaking_a is not None:
        stated = link.breaking_a
        lower = [figure for figure in found if figure.amps_a <= stated]
        found = [BreakingFigure(stated, Phrase("maker"), is_sheeted(van, link)), *lower]
    return found


def is_sheeted(van: Van, link: FuseLink) -> bool:
    """Whether the figures of a fuse are from a document of its manufacturer."""
    return van.system.equipment[link.owner].figures_from is not None


def backed_up_to(van: Van, link: FuseLink) -> float:
    """Return the short-circuit current that a fuse withstands behind the one upstream, by its sheet. [A]"""
    return (link.by_maker.conditional_a or 0.0) if is_sheeted(van, link) else 0.0


def most_broken(van: Van, link: FuseLink) -> float:
    """Return the largest current that a fuse is known to break at the voltage of its net. [A]"""
    volts = van.highest_v(link.start) or van.system.van.nominal_v
    return max((figure.amps_a for figure in figures(van, link, volts)), default=0.0)


def alone(van: Van, link: FuseLink) -> bool:
    """Whether no fuse before it can break the current for it: it is the first after a battery."""
    return bool({link.start, link.end} & van.once(_unfused))


def _unfused(van: Van) -> frozenset[str]:
    posts = [battery.plus for battery in van.network.batteries()]
    return frozenset(van.network.flood(posts, lambda edge: not isinstance(edge, FuseLink)))


def words_of(van: Van, sized: SizedFuse) -> dict[str, Word]:
    return {
        "fuse": van.fuse_name(sized.link),
        "family": FAMILIES[sized.link.family].title,
        "rating": Amount(sized.rating_a, "A"),
    }
