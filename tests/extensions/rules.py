"""The rules of a package of others."""

RULE = '''
"""Each leisure battery has a name of its own."""
from collections.abc import Iterator
from vandoc import Breach, Van, {severity}, rule

@rule({severity}("{slug}"))
def check(van: Van) -> Iterator[Breach]:
    """Find something wrong with each leisure battery."""
    for ident in van.leisure:
        {before}
        yield Breach("{yields}", ident, van.trail(ident), {{"battery": van.name(ident)}})
'''
WORDS = """
{slug}:
  title: Battery not liked
  message: "'{{battery}}' is not liked in the marsh."
  why: Frogs do not like it.
  cure: Ask the frogs.
  source: common practice, no source
"""
POINTS = {"vandoc.rules": "marsh_rules"}


def rule_of(
    slug: str = "marsh-battery",
    severity: str = "fail",
    yields: str | None = None,
    words: str | None = None,
    before: str = "pass",
) -> dict[str, str]:
    """The files of a package with one rule."""
    code = RULE.format(slug=slug, severity=severity, yields=yields or slug, before=before)
    return {
        "marsh_rules/marsh.py": code,
        "marsh_rules/marsh.en.yml": WORDS.format(slug=slug) if words is None else words,
    }
