"""Markdown of a generated page to finished HTML, the same for the site and for books; what HTML leads to."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from html import unescape
from typing import Any

from markdown import Markdown
from markdown.preprocessors import Preprocessor

from vandoc.pages.manual.settings import markdown_extensions

_OPENING = re.compile(r"^ {0,3}<([a-z][a-z0-9]*)\b", re.MULTILINE)
_BLANK = re.compile(r"\n *\n")
_ADDRESS = re.compile(r'\s(id|href|src)="([^"<>]*)"(?=[^<>]*>)')  # within a tag, not in its text


@dataclass(frozen=True)
class Finished:
    """A finished page.

    Attributes
    ----------
    html : str
    contents : list
        Headings, as Python-Markdown's extension ``toc`` returns them.
    """

    html: str
    contents: list[Any]


def finished(body: str) -> Finished:
    """Return a generated page as HTML.

    Parameters
    ----------
    body : str
        Markdown with well-formed HTML, without front matter; links are those of the built pages.
    """
    converter = _converter()
    html = converter.reset().convert(body)
    return Finished(html, converter.toc_tokens)  # type: ignore[attr-defined]


@cache
def _converter() -> Markdown:
    """Python-Markdown, made once for all pages."""
    found = markdown_extensions()
    made = Markdown(extensions=list(found), extension_configs=found)
    # When white space is normalised, and before all HTML is parsed character by character.
    made.preprocessors.register(_WholeBlocks(made), "whole_blocks", 25)
    return made


class _WholeBlocks(Preprocessor):
    """Puts aside, as it is, each block of HTML between blank lines that holds no Markdown."""

    def run(self, lines: list[str]) -> list[str]:
        text, kept, done = "\n".join(lines), [], 0
        for tag, start, end in _blocks(text):
            block = text[start:end]
            if self.md.is_block_level(tag) and "markdown=" not in block:
                kept += [text[done:start], self.md.htmlStash.store(f"{block}\n")]
                done = end
        return "".join((*kept, text[done:])).split("\n")


def _blocks(text: str) -> Iterator[tuple[str, int, int]]:
    """Yield the element of each block of HTML between blank lines, and where it starts and ends."""
    done = 0
    for opening in _OPENING.finditer(text):
        start, depth = opening.start(), 0
        if start < done:
            continue
        for tag in re.compile(rf"<(/?){opening[1]}\b[^>]*>").finditer(text, start):
            depth += -1 if tag[1] else 1
            if depth == 0:
                break
        if depth:
            return  # never closed: what follows is part of it
        done = tag.end()
        if text[:start].endswith(("", "\n\n")[start > 0]) and _BLANK.match(text, done):
            yield opening[1], start, done


def addresses(html: str) -> tuple[set[str], set[str]]:
    """Return the anchors of finished HTML, and the addresses that it links to or shows."""
    anchors, targets = set[str](), set[str]()
    for name, value in _ADDRESS.findall(html):
        (anchors if name == "id" else targets).add(unescape(value))
    return anchors, targets
