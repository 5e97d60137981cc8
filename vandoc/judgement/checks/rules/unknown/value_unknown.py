"""Each value is known; what depends on one that is not cannot be checked."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.analysis.van import PHRASES
from vandoc.judgement.checks.found import told
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule, rules
from vandoc.model.unknowns import Unknown


def what_of(one: Unknown) -> str:
    """Return what is not known, in words."""
    return PHRASES.say(f"unknown-{one.quantity}")


def how_to_measure(one: Unknown) -> str:
    """Return how to find out what is not known."""
    return PHRASES.say(f"measure-{one.quantity}")


@rule(review("value-unknown"), review("cannot-tell"), fail("unknown-not-documented"))
def value_unknown(van: Van) -> Iterator[Breach]:
    """Each value is known; what depends on one that is not cannot be checked."""
    for one in van.unknown:
        words: dict[str, Word] = {
            "subject": van.name(one.subject),
            "what": what_of(one),
            "how": how_to_measure(one),
        }
        yield Breach("value-unknown", one.subject, one.trail, words, unknown=True)
    if van.supposed:
        for item in told(van).undecided:
            titles = "; ".join(rules()[slug].title for slug in item.slugs)
            words = {"subject": van.name(item.subject), "titles": titles}
            yield Breach("cannot-tell", item.subject, item.trail, words, unknown=True)
        if van.stated.documented is None:
            words = {"count": len(van.unknown), "van": van.stated.van.name}
            yield Breach("unknown-not-documented", van.stated.van.name, ("van",), words)
