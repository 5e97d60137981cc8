"""What several rules about fuses share."""

from vandoc.analysis import Van
from vandoc.calc.fuse import FAMILIES
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Word
from vandoc.sizing import SizedFuse


def words_of(van: Van, sized: SizedFuse) -> dict[str, Word]:
    return {
        "fuse": van.fuse_name(sized.link),
        "family": FAMILIES[sized.link.family].title,
        "rating": Amount(sized.rating_a, "A"),
    }
