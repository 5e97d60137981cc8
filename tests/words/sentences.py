"""Prose without its markup, and the sentences in it.

A value that is filled in counts as one word, ``X``; so does code in backquotes. Each heading, item, cell and
block has a line of its own.
"""

import re
from html import unescape

VALUE = "X"
_BLOCK = re.compile(r"</?(?!(?:a|b|bdi|em|i|strong|small|sup|sub)\b)[a-z][^>]*>", re.IGNORECASE)
_WORD = re.compile(r"[^\W_][\w.,'’/-]*|[×=≤≥<>+]")


def without_html(text: str) -> str:
    """Text with its tags left out; a block is put on a line of its own."""
    text = re.sub(r"<!--.*?-->|<(style|script)\b.*?</\1>", "\n", text, flags=re.DOTALL)
    return unescape(re.sub(r"<[^<>]*>", "", _BLOCK.sub("\n", text)))


def without_markdown(text: str) -> str:
    """Text of Markdown, each heading, item, cell and paragraph on one line."""
    text = re.sub(r"^---\n.*?\n---\n", "", text, flags=re.DOTALL)
    text = re.sub(r"^( *)```.*?^\1```", "\n", text, flags=re.DOTALL | re.MULTILINE)
    text = re.sub(r"^(?: {4}|\t)(?![-*\d ]).*$", "", text, flags=re.MULTILINE)  # indented code
    text = re.sub(r":\w+:(?=`)", "", text)  # a docstring's role
    text = re.sub(r"(`+)[^`]*?\1", VALUE, text)
    text = without_html(text)
    text = re.sub(r"!?\[\^?([^\][]*)\](?:\([^)]*\)|:)?", lambda m: m[1] if m[0][1] != "^" else " ", text)
    text = re.sub(r"\{ *[#.:][^}\n]*\}", "", text)
    text = re.sub(r"^[ >]*(?:#+|[-*]|\d+\.)\s+", "\n\n", text, flags=re.MULTILINE)
    text = re.sub(
        r"^\s*\|.*\|\s*$", lambda m: "\n\n" + m[0].replace("|", "\n\n") + "\n\n", text, flags=re.MULTILINE
    )
    text = re.sub(r"\*\*|(?<!\w)[*_]|[*_](?!\w)", "", text)
    blocks = (" ".join(block.split()) for block in re.split(r"\n\s*\n", text))
    return "\n".join(block for block in blocks if block.strip(" -:.|"))


def without_fields(text: str) -> str:
    """A message whose ``{names}`` are values."""
    return re.sub(r"\{[^{}\n]*\}", VALUE, text)


def sentences(text: str) -> list[str]:
    """The sentences of plain text; a colon or a semicolon ends one too, for it is where a reader rests."""
    found = (part.strip() for part in re.split(r"(?<=[.?!:;…])[\s\"”)]+|\n", text))
    return [part for part in found if _WORD.search(part)]


def length(sentence: str) -> int:
    """How many words a sentence has."""
    return len(_WORD.findall(sentence))
