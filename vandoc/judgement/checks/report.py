"""Conversion of breaches to findings: wording, calculation and position in the van file."""

from collections.abc import Callable, Iterable, Mapping

from vandoc.analysis.van import PHRASES
from vandoc.ground.errors import Location
from vandoc.ground.extensions import blamed
from vandoc.ground.figures import DIGITS
from vandoc.ground.measures import in_house
from vandoc.ground.unknown import cannot_tell
from vandoc.judgement.checks.amount import Amount, digits_to_tell_apart
from vandoc.judgement.checks.finding import Finding
from vandoc.judgement.checks.rule import Breach, CitedFigure, Phrase, Rule, Word, rules
from vandoc.model.references import Path as Trail

NO_SOURCE = ("common practice", "own choice")  # these name no document that could be recalled wrongly
LINES = "\n"


def finding(breach: Breach, locate: Callable[[Trail], Location]) -> Finding:
    """Return a breach as a finding, worded by its rule."""
    rule = rules()[breach.rule]
    with blamed(rule.package):
        return _worded(rule, breach, locate)


def _worded(rule: Rule, breach: Breach, locate: Callable[[Trail], Location]) -> Finding:
    digits = digits_to_tell_apart(breach.value, breach.limit)
    words = dict(breach.words)
    words |= {key: a for key, a in (("value", breach.value), ("limit", breach.limit)) if a is not None}
    working = ""
    if not breach.unknown and not _depends(breach):
        lines = LINES.join(fill(rule.step, step, digits) for step in breach.steps)
        working = fill(rule.working, {**words, "steps": lines}, digits)
    place = locate(breach.trail)
    return Finding(
        file=place.file,
        line=place.line,
        column=place.column,
        rule=breach.rule,
        severity="review" if breach.unknown else rule.severity,
        subject=breach.subject,
        message=fill(rule.unknown if breach.unknown else rule.message, words, digits),
        working=working,
        value=None if breach.value is None else breach.value.value,
        limit=None if breach.limit is None else breach.limit.value,
        unit=next((a.unit for a in (breach.value, breach.limit) if a is not None), ""),
        source=sources(breach.cited) or rule.source,
        package=str(rule.package) if rule.package else None,
        accepts=accepted(breach, digits) if breach.unknown or rule.severity != "note" else "",
    )


def _depends(breach: Breach) -> bool:
    """Whether a figure of a breach depends on what is unknown; then there is no calculation to show."""
    figures = (breach.value, breach.limit, *breach.words.values())
    return any(isinstance(figure, Amount) and cannot_tell(figure.value) for figure in figures)


def accepted(breach: Breach, digits: int) -> str:
    """Return the values that a review of a breach accepts: value and limit, or its figures; then its words.

    Wordings and sources are left out, so that a review holds when they are edited.
    """
    figures = [amount for amount in (breach.value, breach.limit) if amount is not None]
    kinds = (str,) if len(figures) == 2 else (Amount, str, int)
    words = [word for _, word in sorted(breach.words.items()) if isinstance(word, kinds)]
    ordered = sorted((*figures, *words), key=lambda word: isinstance(word, str))
    texts = [PHRASES.say("cannot-check")] if breach.unknown else []
    texts += [" ".join(_text(word, digits).split()).replace("', '", ", ") for word in ordered]
    return "; ".join(dict.fromkeys(filter(None, texts))) or breach.subject


def fill(template: str, words: Mapping[str, Word], digits: int = DIGITS) -> str:
    """Fill in a message template; inserted words are never interpreted as templates.

    Examples
    --------
    >>> fill("{name} carries {current}", {"name": "{0.__class__}", "current": Amount(3.0, "A")})
    '{0.__class__} carries 3 A'
    """
    return template.format_map({key: _text(word, digits) for key, word in words.items()})


def sources(cited: Iterable[CitedFigure | Phrase]) -> str:
    """Return the sources of figures, each once; those from memory are marked."""
    return "; ".join(dict.fromkeys(_text(figure, DIGITS) for figure in cited))


def _text(word: Word, digits: int) -> str:
    if isinstance(word, Amount):
        return word.text(digits)
    if isinstance(word, Phrase):
        return PHRASES.say(word.key)
    if isinstance(word, str | int):
        return str(word)
    known = not word.from_memory or word.source.startswith(NO_SOURCE) or "from memory" in word.source
    source = in_house(word.source)
    return source if known else PHRASES.say("from-memory", source=source)
