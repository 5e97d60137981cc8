"""Width of text in the fonts used for print."""

import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache

from vandoc.ground.errors import VandocError
from vandoc.pages.diagram.svg import clean
from vandoc.paper.pdf import FACES, FONTS
from vandoc.paper.words import say

MM_PER_PT = 25.4 / 72


@dataclass(frozen=True)
class _Face:
    advances: dict[int, float]  # by code point, in em


@cache
def _faces(weight: int) -> tuple[_Face, ...]:
    try:
        from fontTools.ttLib import TTFont
    except ImportError as error:
        raise VandocError(say("missing_library", name=error.name)) from error
    found = []
    for (_, of), file in FACES.items():
        if of == weight:
            font = TTFont(FONTS / file, lazy=True)
            em, advances = font["head"].unitsPerEm, font["hmtx"]
            found.append(_Face({code: advances[name][0] / em for code, name in font.getBestCmap().items()}))
    return tuple(found)


@cache
def _advance(char: str, weight: int) -> float:
    code = ord(char)
    for face in _faces(weight):
        if code in face.advances:
            return face.advances[code]
    if unicodedata.combining(char) or char in "\u200c\u200d":
        return 0.0
    return 1.0  # another font is needed: the width of the widest of most characters


def width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """Return the width of a line of text.

    Characters that the manual's fonts lack count as wide as they are high, more than most are.

    Examples
    --------
    >>> round(width_mm("fuse", 10), 1)
    6.6
    """
    return _ems(text, 700 if bold else 400) * size_pt * MM_PER_PT


@lru_cache(maxsize=50_000)
def _ems(text: str, weight: int) -> float:
    return sum(_advance(char, weight) for char in text)


def foreign(text: str) -> bool:
    """Whether a text has characters that the manual's fonts lack, so that another font is needed.

    Examples
    --------
    >>> foreign("Größe"), foreign("ماء")
    (False, True)
    """
    return any(
        not any(ord(char) in face.advances for face in _faces(400))
        for char in text
        if char not in "\u200c\u200d"
    )


def right_to_left(text: str) -> bool:
    """Whether the first strong directional character is right-to-left (Unicode Annex 9, rule P2).

    Examples
    --------
    >>> right_to_left("3 ماء"), right_to_left("3 taps")
    (True, False)
    """
    for char in text:
        if (direction := unicodedata.bidirectional(char)) in ("L", "R", "AL"):
            return direction != "L"
    return False


def in_lines(text: str, size_pt: float, width: float, bold: bool = False) -> list[str] | None:
    """Return a text as lines that are no wider than `width` [mm], or None if a single word is wider.

    Lines break at spaces, and after the hyphens of a word that is wider than a line.
    """
    lines: list[str] = []
    line = ""
    for word in _words(clean(text), size_pt, width, bold):
        if width_mm((line + word).rstrip(), size_pt, bold) <= width:
            line += word
            continue
        if width_mm(word.rstrip(), size_pt, bold) > width:
            return None
        lines.append(line.rstrip())
        line = word
    return [*lines, line.rstrip()] if line else lines


def shortened(text: str, size_pt: float, width: float, bold: bool = False) -> str:
    """Return as much of a text as fits on one line, ending in "…" if shortened."""
    text = clean(text)
    if width_mm(text, size_pt, bold) <= width:
        return text
    while text and width_mm(f"{text}…", size_pt, bold) > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def _words(text: str, size_pt: float, width: float, bold: bool) -> list[str]:
    words: list[str] = []
    for word in text.split(" "):
        if width_mm(word, size_pt, bold) <= width:
            words.append(f"{word} ")
            continue
        *first, last = word.split("-")
        words += [*(f"{piece}-" for piece in first), f"{last} "]
    return words
