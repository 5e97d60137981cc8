"""Functions shared by the rules on fuses."""

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Word
from vandoc.physics.sizing import SizedFuse


def words_of(van: Van, sized: SizedFuse) -> dict[str, Word]:
    return {
        "fuse": van.fuse_name(sized.link),
        "family": FAMILIES[sized.link.family].title,
        "rating": Amount(sized.rating_a, "A"),
    }
