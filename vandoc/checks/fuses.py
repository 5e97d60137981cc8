"""Whether each fuse carries its current, breaks what a short circuit sends, and is one that can be bought."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van, exceeds
from vandoc.calc.fuse import FAMILIES, breaking_capacity
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, Cited, Phrase, Word, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.network.graph import FuseLink
from vandoc.sizing import SizedFuse


def _words(van: Van, sized: SizedFuse) -> dict[str, Word]:
    return {
        "fuse": van.fuse_name(sized.link),
        "family": FAMILIES[sized.link.family].title,
        "rating": Amount(sized.rating_a, "A"),
    }


@rule("no-fuse-fits", "fuse-below-current", "fuse-above-continuous", "fuse-below-start")
def current(van: Van) -> Iterator[Breach]:
    """A fuse carries what runs through it, for long and while things start."""
    fraction, multiple = constant("continuous fuse load"), constant("start-up multiple")
    for sized in van.sizing.fuses.values():
        subject, trail, words = van.fuse_subject(sized.link), sized.link.trail, _words(van, sized)
        rating = Amount(sized.rating_a, "A")
        lasting = Amount(fraction.value * sized.rating_a, "A")
        starting = Amount(multiple.value * sized.rating_a, "A")
        words |= {"fraction": Amount(100 * fraction.value, "%"), "multiple": Amount(multiple.value)}
        if not sized.fits:
            yield Breach("no-fuse-fits", subject, trail, words, Amount(sized.design_a, "A"), rating)
        elif exceeds(sized.design_a, sized.rating_a):
            yield Breach("fuse-below-current", subject, trail, words, Amount(sized.design_a, "A"), rating)
        elif exceeds(sized.continuous_a, lasting.value):
            found = Amount(sized.continuous_a, "A")
            yield Breach("fuse-above-continuous", subject, trail, words, found, lasting, cited=(fraction,))
        if exceeds(sized.start_a, starting.value):
            found = Amount(sized.start_a, "A")
            yield Breach("fuse-below-start", subject, trail, words, found, starting, cited=(multiple,))


@rule("fuse-voltage")
def voltage(van: Van) -> Iterator[Breach]:
    """A fuse is made for the voltage of its net."""
    for sized in van.sizing.fuses.values():
        link, family = sized.link, FAMILIES[sized.link.family]
        volts = van.highest_v(link.start)
        if volts is None:
            continue
        stated = (link.voltage_v,) if link.voltage_v else family.rated_voltages_v
        if stated[0] >= volts:
            continue
        figure = next(b for b in family.breaking if b.voltage_v == max(family.rated_voltages_v))
        yield Breach(
            "fuse-voltage",
            van.fuse_subject(link),
            link.trail,
            {**_words(van, sized), "lowest": Amount(stated[0], "V"), "highest": Amount(stated[-1], "V")},
            Amount(stated[0], "V"),
            Amount(volts, "V"),
            cited=(Phrase("maker"),) if link.voltage_v else (figure,),
            unknown=stated[-1] >= volts,
        )


@rule("fuse-above-family", "fuse-not-standard")
def standard_rating(van: Van) -> Iterator[Breach]:
    """A fuse has a rating that its type is made in."""
    for sized in van.sizing.fuses.values():
        family = FAMILIES[sized.link.family]
        known = {rating.amps_a: rating for rating in family.ratings}
        if sized.rating_a in known:
            continue
        nearest = min(family.ratings, key=lambda rating: abs(rating.amps_a - sized.rating_a))
        above = sized.rating_a > family.maximum_rating_a
        limit = Amount(family.maximum_rating_a if above else nearest.amps_a, "A")
        yield Breach(
            "fuse-above-family" if above else "fuse-not-standard",
            van.fuse_subject(sized.link),
            sized.link.trail,
            _words(van, sized),
            Amount(sized.rating_a, "A"),
            limit,
            cited=(nearest,),
        )


@dataclass(frozen=True)
class _Breaking:
    """What a fuse can break, and who says so. [A]"""

    amps_a: float
    cited: Cited | Phrase
    in_print: bool


def _breaking(link: FuseLink, volts: float) -> list[_Breaking]:
    """The figures for a fuse; its maker's alone where it is lower than the others."""
    figures = []
    for kind in ("standard", "trade"):
        found = breaking_capacity(link.family, volts, kind)
        if found is not None:
            figures.append(_Breaking(found.amps_a, found, kind == "standard" and not found.from_memory))
    if link.breaking_a is not None:
        stated = link.breaking_a
        figures = [_Breaking(stated, Phrase("maker"), False), *(f for f in figures if f.amps_a <= stated)]
    return figures


@rule("breaking-capacity", "breaking-capacity-unproven", "breaking-capacity-backed-up")
def breaking(van: Van) -> Iterator[Breach]:
    """The first fuse after a battery breaks what the battery can send; those behind it may lean on it."""
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
            _words(van, sized),
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
    """Says so where the current rests on the usual resistance of a battery rather than on its maker's."""
    feeds = van.sources_in(van.network.joined(link.start), "battery")
    pieces = [van.system.equipment[source.owner] for source in feeds]
    usual = any(isinstance(piece, eq.Battery) and piece.resistance_ohm is None for piece in pieces)
    return (Phrase("usual-resistance"),) if usual else ()


@rule("fuse-proposed")
def proposed(van: Van) -> Iterator[Breach]:
    """The file leaves a rating open; what was chosen is said."""
    for sized in van.sizing.fuses.values():
        if sized.proposed and sized.fits:
            words = _words(van, sized) | {
                "design": Amount(sized.design_a, "A"),
                "lasting": Amount(sized.continuous_a, "A"),
                "start": Amount(sized.start_a, "A"),
                "fraction": Amount(100 * constant("continuous fuse load").value, "%"),
                "multiple": Amount(constant("start-up multiple").value),
            }
            yield Breach(
                "fuse-proposed",
                van.fuse_subject(sized.link),
                sized.link.trail,
                words,
                Amount(sized.rating_a, "A"),
                cited=(constant("continuous fuse load"),),
            )
