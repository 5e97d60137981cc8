"""A main fuse can break the prospective short-circuit current; it may back up the fuses downstream."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Phrase, fail, review, rule
from vandoc.judgement.checks.shared.fuses import alone, backed_up_to, figures, words_of
from vandoc.physics.network.graph import FuseLink
from vandoc.physics.sizing import SizedFuse


@rule(
    fail("breaking-capacity", sizes.breaking_fuse),
    review("breaking-capacity-unproven"),
    review("breaking-capacity-backed-up"),
)
def breaking(van: Van) -> Iterator[Breach]:
    """A main fuse can break the prospective short-circuit current; it may back up the fuses downstream."""
    behind: dict[str, list[tuple[SizedFuse, float]]] = {}
    for sized in van.sizing.fuses.values():
        link = sized.link
        volts = van.highest_v(link.start)
        amps = van.faults.at_fuse_a[link.id]
        if volts is None or amps <= 0:
            continue
        found = figures(van, link, volts)
        enough = [figure for figure in found if figure.amps_a >= amps]
        if any(figure.in_print for figure in enough):
            continue
        best = max(found, key=lambda figure: figure.amps_a, default=None)
        if not alone(van, link):
            if best is not None and not enough and amps > backed_up_to(van, link):
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
    batteries = (van.system.batteries[source.owner] for source in feeds)
    usual = any(one.resistance_ohm is None and one.short_circuit_a is None for one in batteries)
    return (Phrase("usual-resistance"),) if usual else ()
