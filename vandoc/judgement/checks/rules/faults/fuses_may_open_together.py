"""Two fuses in series are selective: only the one nearer to the short circuit blows."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.fuse_time import sure_multiple
from vandoc.judgement.checks.rule import Breach, Phrase, note, rule


@rule(note("fuses-may-open-together"))
def discrimination(van: Van) -> Iterator[Breach]:
    """Two fuses in series are selective: only the one nearer to the short circuit blows."""
    apart: dict[tuple[str, str], bool] = {}
    for end in van.faults.at_end.values():
        for upper, lower, shown in end.discrimination:
            apart[upper, lower] = apart.get((upper, lower), True) and shown
    groups: dict[tuple[str, str], list[bool]] = {}
    for (upper, lower), shown in apart.items():
        groups.setdefault((upper, van.network.fuses[lower].owner), []).append(shown)
    for (upper, owner), shown_each in groups.items():
        if all(shown_each):
            continue
        link = van.network.fuses[upper]
        known = sure_multiple(link.family) is not None
        yield Breach(
            "fuses-may-open-together",
            owner,
            van.trail(owner),
            {
                "board": van.name(owner),
                "count": shown_each.count(False),
                "total": len(shown_each),
                "upper": van.fuse_name(link),
                "reason": Phrase("gates-overlap" if known else "gates-missing"),
            },
        )
