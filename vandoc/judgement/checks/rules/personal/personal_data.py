"""Nothing in the file identifies the owner or the vehicle."""

import re
from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, Phrase, review, rule
from vandoc.judgement.checks.shared.values import subject_of, values

# ISO 3779: 17 signs without I, O and Q.
_VIN = re.compile(r"(?<![A-Z0-9])(?=[A-Z0-9]*\d)(?=[A-Z0-9]*[A-Z])[A-HJ-NPR-Z0-9]{17}(?![A-Z0-9])")


_MAIL = re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+")


_PHONE = re.compile(r"(?<![\w.])(?:\+|0)\d(?:[ /().-]?\d){7,13}(?!\w)")


@rule(review("personal-data"))
def personal(van: Van) -> Iterator[Breach]:
    """Nothing in the file identifies the owner or the vehicle."""
    for trail, text in values(van.system, str):
        if trail[0] == "workshop":
            continue
        kind = _kind(text, van.system.workshop.phone or "", van.system.workshop.email or "")
        if kind:
            yield Breach("personal-data", subject_of(trail), trail, {"kind": Phrase(kind)})


def _kind(text: str, phone: str, mail: str) -> str | None:
    if _VIN.search(text.upper()):
        return "vehicle-number"
    if any(found != mail for found in _MAIL.findall(text)):
        return "mail-address"
    own = re.sub(r"\D", "", phone)
    if any(re.sub(r"\D", "", found)[-9:] != own[-9:] for found in _PHONE.findall(text)):
        return "telephone-number"
    return None
