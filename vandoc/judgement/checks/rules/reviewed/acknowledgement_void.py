"""Each acknowledgement of a documented van is of a fail as it is now."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.found import acknowledging, matches, unreviewed
from vandoc.judgement.checks.rule import Breach, Word, note, review, rule
from vandoc.model.references import Path as Trail


@rule(review("acknowledgement-void"), note("acknowledgement-not-needed"))
def acknowledgement_void(van: Van) -> Iterator[Breach]:
    """Each acknowledgement of a documented van is of a fail as it is now."""
    documented = van.system.documented
    for number, entry in enumerate(documented.fails if documented else ()):
        trail: Trail = ("documented", "fails", number)
        words: dict[str, Word] = {
            "of": entry.rule,
            "subject": entry.subject,
            "by": entry.by,
            "date": entry.date.isoformat(),
            "accepted": entry.accepts,
        }
        found = [one for one in unreviewed(van) if matches(entry, one) and one.severity == "fail"]
        if any(acknowledging(one, [entry]) for one in found):
            continue
        if found:
            words["now"] = found[0].accepts
            yield Breach("acknowledgement-void", entry.subject, (*trail, "accepts"), words)
        else:
            yield Breach("acknowledgement-not-needed", entry.subject, (*trail, "rule"), words)
