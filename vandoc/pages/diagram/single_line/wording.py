"""What is written on a sheet, in lines that fit, and how much room they take. Lengths in px."""

from collections.abc import Mapping
from dataclasses import dataclass

from vandoc.pages.diagram.single_line.drawing import LEADING, SIZES
from vandoc.pages.diagram.single_line.stations import Cable, Note, Part
from vandoc.pages.diagram.svg import text_width, wrap

HEAD_WIDTH = 112.0  # of the words above a symbol
BAR_HEAD_WIDTH = 230.0
CABLE_WIDTH = 98.0
NOTE_WIDTH = 112.0


@dataclass(frozen=True)
class Head:
    """The words above a symbol: lines, and whether each is bold."""

    lines: tuple[tuple[str, bool], ...]

    @property
    def height(self) -> float:
        """Height of all lines."""
        return sum(leading(bold) for _, bold in self.lines)

    @property
    def width(self) -> float:
        """Width of the widest line."""
        return max((text_width(text, size(bold), bold) for text, bold in self.lines), default=0.0)


def size(bold: bool) -> float:
    """Return the size of a line of a head."""
    return SIZES["mark"] if bold else SIZES["fact"]


def leading(bold: bool) -> float:
    """Return the height that a line of a head takes."""
    return size(bold) * LEADING


def head(part: Part, codes: Mapping[str, str]) -> Head:
    """Return the words above a part: its designation and name, its facts, and the letter of its place."""
    width = BAR_HEAD_WIDTH if part.is_bar else HEAD_WIDTH
    lines = [(line, True) for line in wrap(named(part), SIZES["mark"], width, 3, bold=True)]
    facts = ", ".join(filter(None, (*part.facts, codes.get(part.id, ""))))
    return Head((*lines, *((line, False) for line in wrap(facts, SIZES["fact"], width, 3))))


def named(part: Part) -> str:
    """Return the designation and the name of a part."""
    return " ".join(filter(None, (part.mark, part.name)))


def hint(part: Part) -> str:
    """Return all that is known of a part on one line."""
    return ", ".join(filter(None, (part.mark, part.name, *part.facts)))


def cable_lines(cable: Cable) -> tuple[list[str], list[str]]:
    """Return the words above and below the line of a cable."""
    above = wrap(cable.label, SIZES["cable"], CABLE_WIDTH, 2)
    if cable_text(cable.measure) <= CABLE_WIDTH:
        return above, [cable.measure] if cable.measure else []
    below = [
        *wrap(cable.size, SIZES["cable"], CABLE_WIDTH, 2),
        *wrap(cable.length, SIZES["cable"], CABLE_WIDTH, 1),
    ]
    return above, below


def cable_width(cable: Cable) -> float:
    """Return the width of the words along a cable."""
    return max((cable_text(line) for lines in cable_lines(cable) for line in lines), default=0.0)


def cable_text(text: str) -> float:
    """Return the width of one line of them."""
    return text_width(text, SIZES["cable"])


def on_one_line(cable: Cable) -> str:
    """Return the words of a cable in a row."""
    return " ".join(filter(None, (cable.label, cable.measure)))


def note_lines(note: Note) -> list[str]:
    """Return the words beside the end of a note."""
    return [line for text in note.lines for line in wrap(text, SIZES["cable"], NOTE_WIDTH, 2)]
