"""Each review accepts a finding as it is now."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.found import accepting, matches, unreviewed
from vandoc.judgement.checks.rule import Breach, Word, note, review, rule
from vandoc.model.references import Path as Trail


@rule(review("review-void"), review("review-of-fail"), note("review-not-needed"))
def review_void(van: Van) -> Iterator[Breach]:
    """Each review accepts a finding as it is now."""
    entries = van.system.reviewed
    for number, entry in enumerate(entries):
        trail: Trail = ("reviewed", number)
        words: dict[str, Word] = {
            "of": entry.rule,
            "subject": entry.subject,
            "by": entry.by,
            "date": entry.date.isoformat(),
            "accepted": entry.accepts,
        }
        found = [one for one in unreviewed(van) if matches(entry, one)]
        if any(accepting(one, [entry]) for one in found):
            continue
        unmet = [one for one in found if one.severity == "review" and not accepting(one, entries)]
        if unmet:
            words["now"] = unmet[0].accepts
            yield Breach("review-void", entry.subject, (*trail, "accepts"), words)
        elif any(one.severity == "fail" for one in found):
            yield Breach("review-of-fail", entry.subject, (*trail, "rule"), words)
        else:
            yield Breach("review-not-needed", entry.subject, (*trail, "rule"), words)
