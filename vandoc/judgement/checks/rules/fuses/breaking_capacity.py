"""A main fuse can break the prospective short-circuit current; it may back up the fuses downstream."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES, breaking_capacity
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, CitedFigure, Phrase, fail, review, rule
from vandoc.judgement.checks.shared.fuses import words_of
from vandoc.physics.network.graph import FuseLink
from vandoc.physics.sizing import SizedFuse


@dataclass(frozen=True)
class _BreakingFigure:
    """The breaking capacity of a fuse and its source. [A]"""

    amps_a: float
    cited: CitedFigure | Phrase
    in_print: bool


def _breaking(link: FuseLink, volts: float) -> list[_BreakingFigure]:
    """Return the figures for a fuse; the manufacturer's figure removes all higher ones."""
    figures = []
    for kind in ("standard", "trade"):
        found = breaking_capacity(link.family, volts, kind)
        if found is not None:
            figures.append(_BreakingFigure(found.amps_a, found, kind == "standard" and not found.from_memory))
    if link.breaking_a is not None:
        stated = link.breaking_a
        figures = [
            _BreakingFigure(stated, Phrase("maker"), False),
            *(f for f in figures if f.amps_a <= stated),
        ]
    return figures


@rule(
    fail("breaking-capacity", sizes.breaking_fuse),
    review("breaking-capacity-unproven"),
    review("breaking-capacity-backed-up"),
)
def breaking(van: Van) -> Iterator[Breach]:
    """A main fuse can break the prospective short-circuit current; it may back up the fuses downstream."""
    posts = [battery.plus for battery in van.network.batteries()]
    unfused = van.network.flood(posts, lambda edge: not isinstance(edge, FuseLink))
    behind: dict[str, list[tuple[SizedFuse, float]]] = {}
    for sized in van.sizing.fuses.values():
        link = sized.link
        volts = van.highest_v(link.start)
        amps = van.faults.at_fuse_a[link.id]
        if volts is None or amps <= 0:
            continue
        figures = _breaking(link, volts)
        enough = [figure for figure in figures if figure.amps_a >= amps]
        if any(figure.in_print for figure in enough):
            continue
        best = max(figures, key=lambda figure: figure.amps_a, default=None)
        if not {link.start, link.end} & unfused:
            if best is not None and not enough:
                behind.setdefault(link.owner, []).append((sized, best.amps_a))
            continue
        shown = enough[0] if enough else best
        yield Breach(
            "breaking-capacity-unproven" if enough else "breaking-capacity",
            van.fuse_subject(link),
            link.trail,
            words_of(van, sized),
            Amount(amps, "A"),
            Amount(shown.amps_a, "A") if shown else None,
            cited=((shown.cited,) if shown else ()) + _resistances(van, link),
            unknown=shown is None,
        )
    for owner, fuses in behind.items():
        worst, least = max(fuses, key=lambda pair: van.faults.at_fuse_a[pair[0].link.id])
        yield Breach(
            "breaking-capacity-backed-up",
            owner,
            van.trail(owner),
            {"board": van.name(owner), "family": FAMILIES[worst.link.family].title},
            Amount(van.faults.at_fuse_a[worst.link.id], "A"),
            Amount(least, "A"),
        )


def _resistances(van: Van, link: FuseLink) -> tuple[Phrase, ...]:
    """Note which batteries have an assumed internal resistance instead of the manufacturer's figure."""
    feeds = van.sources_in(van.network.joined(link.start), "battery")
    usual = any(van.system.batteries[source.owner].resistance_ohm is None for source in feeds)
    return (Phrase("usual-resistance"),) if usual else ()
