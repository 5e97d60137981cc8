"""Pull tests of crimped lugs, typed as sizes with their forces."""

import re
from typing import Any

from vandoc.doors.recording.prompts import field, in_unit
from vandoc.doors.recording.words import say
from vandoc.model.fitting import PullTest
from vandoc.reading import editing

PULL = re.compile(
    r"(?P<area>[0-9/.]+ ?(?:mm²|mm2|mm\^2|AWG)?)[ :]+(?P<force>[0-9.]+ ?[A-Za-z]*)", re.IGNORECASE
)


def pulls_in(text: str) -> list[tuple[str, str]]:
    """Return each size with its force, as they are written to the file.

    Raises
    ------
    ValueError
        With a message, if a part of the text is not a size and a force.

    Examples
    --------
    >>> pulls_in("50 mm² 900 N, 6: 250")
    [('50 mm²', '900 N'), ('6 mm²', '250 N')]
    """
    found = []
    for part in text.split(","):
        match = PULL.fullmatch(part.strip())
        if match is None:
            raise ValueError(say("refuse.pull", text=part.strip()))
        area, force = in_unit(match["area"].strip(), "mm²"), in_unit(match["force"].strip(), "N")
        found.append((field(PullTest, "area_mm2", area), field(PullTest, "force_n", force)))
    return found


def add_pulls(draft: editing.Draft, text: str) -> editing.Draft:
    """Return the draft with these pull tests after those that the record of the work has."""

    def change(tree: Any) -> None:
        if not isinstance(tree.get("installation"), dict):
            tree["installation"] = editing.block()
        tests = editing.section(tree["installation"], "pulled")
        tests.extend(editing.flow(area=area, force=force) for area, force in pulls_in(text))

    return editing.changed(draft, change)
