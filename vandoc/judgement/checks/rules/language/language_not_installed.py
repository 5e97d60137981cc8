"""A package adds the language that the van file or the workshop file asks for."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.languages import translation
from vandoc.ground.messages import LANGUAGE
from vandoc.judgement.checks.rule import Breach, review, rule


@rule(review("language-not-installed"))
def language_not_installed(van: Van) -> Iterator[Breach]:
    """A package adds the language that the van file or the workshop file asks for."""
    wanted, own = van.system.language, van.system.van.language
    if wanted != LANGUAGE and translation(wanted) is None:
        trail = ("van", "language") if own else ("house", "language")
        yield Breach("language-not-installed", "van", trail, {"language": wanted})
