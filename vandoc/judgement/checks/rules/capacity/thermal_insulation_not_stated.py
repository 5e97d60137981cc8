"""The file states whether cables run within thermal insulation."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.capacity import ours


@rule(review("thermal-insulation-not-stated"))
def stated(van: Van) -> Iterator[Breach]:
    """The file states whether cables run within thermal insulation."""
    unknown = [s.conductor for s in ours(van) if s.conductor.buried_m is None and not s.conductor.signal]
    if unknown:
        words: dict[str, Word] = {"count": len(unknown), "cable": unknown[0].id}
        trail = ("cable_defaults",) if "cable_defaults" in van.stated.model_fields_set else ()
        yield Breach("thermal-insulation-not-stated", "cable_defaults", trail, words, unknown=True)
