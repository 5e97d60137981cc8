"""Names that a reader cannot see, or cannot tell apart.

Characters are compared by the data of the Unicode Standard that comes with Python: normalization for
compatibility (its annex 15) and case folding. The list of letters that look alike is a short one of our own;
usual typefaces draw these of three scripts, and some digits, in the same way (from memory).
"""

import unicodedata

# Blank on paper and screen, although Unicode counts them as letters, marks or symbols.
_BLANK = {"\u034f", "\u115f", "\u1160", "\u17b4", "\u17b5", "\u2800", "\u3164", "\uffa0"}
_BLANK |= {chr(code) for code in (*range(0x180B, 0x1810), *range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0))}
_UNSEEN = {"Cc", "Cf", "Cs", "Cn", "Co"}
_GAPS = {"Zs", "Zl", "Zp", "Pd", "Pc"}  # a space, a hyphen and a low line are easily taken for each other
_LIKE_LATIN = {
    "аеорсухіјѕһԁԛԝ": "aeopcyxijshdqw",  # Cyrillic
    "АВЕЗКМНОРСТУХІЈЅ": "ABE3KMHOPCTYXIJS",
    "οικρυα": "oikpua",  # Greek
    "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ": "ABEZHIKMNOPTYX",
}
_ALIKE = str.maketrans("".join(_LIKE_LATIN), "".join(_LIKE_LATIN.values()))
_STROKES = str.maketrans("1I|0", "lllO")


def is_blank(text: str) -> bool:
    """Whether nothing of a text is seen: spaces, control and direction marks, marks without a letter.

    Examples
    --------
    >>> is_blank("\\u202e\\u200b"), is_blank("fridge")
    (True, False)
    """
    return all(_unseen(char) or unicodedata.category(char)[0] in "ZM" for char in text)


def looks(text: str) -> tuple[str, str]:
    """Return two outlines of a text; texts that share one are hard to tell apart.

    The first is without the difference of capitals, the second with it, since a capital I looks like an l.

    Examples
    --------
    >>> looks("Fridge")[0] == looks(" fri\\u200bdge ")[0] == looks("Frіdge")[0]
    True
    >>> looks("Lamp I")[1] == looks("Lamp l")[1] == looks("Lamp 1")[1]
    True
    >>> looks("Lamp 1")[0] == looks("Lamp 2")[0]
    False
    """
    seen = "".join(char for char in unicodedata.normalize("NFKC", text) if not _unseen(char))
    spaced = "".join(" " if unicodedata.category(char) in _GAPS else char for char in seen)
    plain = " ".join(spaced.split()).translate(_ALIKE)
    folded = unicodedata.normalize("NFKC", plain.casefold())
    return folded, plain.translate(_STROKES)


def _unseen(char: str) -> bool:
    return unicodedata.category(char) in _UNSEEN or char in _BLANK
