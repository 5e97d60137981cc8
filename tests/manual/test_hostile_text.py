"""A van whose every text tries to become markup: its pages have the elements of a harmless one, no more.

Here the largest demonstration van; the benchmark `tests/benchmarks/hostile_pages.py` takes all of them.
"""

import re
from collections import Counter
from dataclasses import dataclass, replace
from typing import Any, get_args

import html5lib
import pytest
from annotated_types import MinLen
from pydantic import BaseModel, StringConstraints

from tests.manual.manuals import (
    every_kind,
    judged,
    markdown_paths,
    pages_of,
    tree_of,
    with_system,
    words,
)
from tests.manual.test_text import TRICKS
from vandoc.judgement.remedy import findings
from vandoc.judgement.remedy.search import _with_nearest
from vandoc.model.base import ONE_LINE, StrictModel
from vandoc.pages.manual.text import clean

SVG = "{http://www.w3.org/2000/svg}svg"


def holds_text(field: Any) -> bool:
    """Whether a field is free text: a string whose pattern, if any, forbids no more than a line break."""
    marks = [mark for mark in field.metadata if isinstance(mark, StringConstraints | MinLen)]
    todo = [field.annotation]
    while todo:
        part = todo.pop()
        marks += [mark for mark in getattr(part, "__metadata__", ()) if isinstance(mark, StringConstraints)]
        todo += [*get_args(part)]
    patterns = [getattr(mark, "pattern", None) for mark in field.metadata]
    patterns += [mark.pattern for mark in marks if isinstance(mark, StringConstraints)]
    return bool(marks) and all(pattern in (None, ONE_LINE) for pattern in patterns)


class Rewriter:
    """Replaces every free text of a system; each text comes out different."""

    def __init__(self, texts: list[str]) -> None:
        self.texts, self.count, self.given = texts, 0, []

    def text(self) -> str:
        self.count += 1
        made = self.texts[self.count % len(self.texts)].replace("#", f"# {self.count}", 1)
        made = made if f"# {self.count}" in made else f"{made} {self.count}"
        self.given.append(made)
        return made

    def value(self, value: Any, free: bool) -> Any:
        if isinstance(value, StrictModel):
            return self.part(value)
        if isinstance(value, dict):
            return {key: self.value(one, free) for key, one in value.items()}
        if isinstance(value, list):
            return [self.value(one, free) for one in value]
        return self.text() if free and isinstance(value, str) else value

    def part(self, part: BaseModel) -> Any:
        update = {}
        for name, field in type(part).model_fields.items():
            if name in ("file", "part"):
                continue
            if name == "value" and getattr(part, "measure", None):  # a quantity, whatever its type says
                continue
            update[name] = self.value(getattr(part, name), holds_text(field))
        return part.model_copy(update=update)


def rewritten(van: str, texts: list[str]) -> tuple[Any, list[str]]:
    found = judged(van)
    rewriter = Rewriter(texts)
    system = rewriter.part(found.system)
    rewritten_findings = tuple(
        replace(finding, message=rewriter.text(), working=clean(rewriter.text()), source=rewriter.text())
        for finding in findings(found)
    )
    hostile = with_system(found, system)
    hostile._kept[_with_nearest] = rewritten_findings  # what checks would say, in hostile words
    return pages_of(hostile), rewriter.given


def shape(tree: Any) -> Counter[tuple[str, tuple[str, ...]]]:
    """How often each element stands outside drawings, whose lines depend on how long their words are."""
    count: Counter[tuple[str, tuple[str, ...]]] = Counter()

    def visit(element: Any) -> None:
        if element.tag == SVG:
            return
        count[(str(element.tag), tuple(sorted(element.attrib)))] += 1
        for child in element:
            visit(child)

    visit(tree)
    return count


@dataclass(frozen=True)
class Read:
    """A hostile page as a reader of HTML sees it: its shape, its attributes and its words."""

    shape: Counter[tuple[str, tuple[str, ...]]]
    elements: tuple[tuple[str, dict[str, str]], ...]
    words: str


def hostile_and_harmless(van: str) -> tuple[Any, Any, list[str]]:
    hostile, given = rewritten(van, TRICKS)
    harmless, _ = rewritten(van, ["word"])
    return hostile, harmless, given


def read_pages(hostile: Any) -> dict[str, Read]:
    """Each page of the hostile van, read once."""
    found = {}
    for path in markdown_paths(hostile):
        tree = tree_of(hostile.files[path])
        found[path] = Read(
            shape(tree), tuple((str(e.tag), dict(e.attrib)) for e in tree.iter()), words(tree).casefold()
        )
    return found


@pytest.fixture(scope="module")
def manuals():
    return hostile_and_harmless("curlew")


@pytest.fixture(scope="module")
def read(manuals):
    return read_pages(manuals[0])


def test_the_rewriting_reaches_every_kind_of_text():
    rewriter = Rewriter(TRICKS)
    rewriter.part(judged("curlew").system)
    fields = set()
    parts = StrictModel.__subclasses__()
    for part in parts:
        parts += part.__subclasses__()
        fields |= {
            f"{part.__name__}.{name}" for name, field in part.model_fields.items() if holds_text(field)
        }
    assert {"Van.name", "Workshop.phone", "Place.access", "Load.words", "Service.notes"} <= fields
    assert len(rewriter.given) > 200


def test_no_text_adds_an_element_or_an_attribute(manuals, read):
    hostile, harmless, _ = manuals
    # How many codes and sheets of the diagram there are depends on how long the words are.
    both = [[p for p in markdown_paths(one) if "/diagram-overview-" not in p] for one in (hostile, harmless)]
    assert both[0] == both[1]
    for path in every_kind(both[0]):
        found, wanted = read[path].shape, shape(tree_of(harmless.files[path]))
        if path in ("code.md", "electrician/diagram.md"):
            assert set(found) == set(wanted)
        else:
            assert found == wanted, path


def test_no_text_adds_an_element_to_the_card(manuals):
    hostile, harmless, _ = manuals
    found, wanted = (html5lib.parse(made.files["card.html"]) for made in (hostile, harmless))
    assert shape(found) == shape(wanted)
    scripts = [element for element in found.iter() if str(element.tag).endswith("}script")]
    assert len(scripts) == 1
    assert "Saves the manual on the phone" in "".join(scripts[0].itertext())


def test_no_script_handler_or_foreign_address_anywhere(read):
    for path, page in read.items():
        for tag, attributes in page.elements:
            assert "script" not in tag.lower(), path
            assert "foreignobject" not in tag.lower(), path
            for name, value in attributes.items():
                assert not str(name).lower().startswith("on"), path
                if str(name).rpartition("}")[2] in ("href", "src"):
                    scheme = value.partition(":")[0] if re.match(r"[^/#?]*:", value) else ""
                    assert scheme in ("", "tel", "https"), f"{path}: {value}"


def test_hostile_text_is_shown_as_it_was_written(manuals, read):
    given = manuals[2]
    shown = " ".join(page.words for page in read.values())
    wanted = [" ".join(clean(text).split()).casefold() for text in given]
    missing = [text for text in wanted if text not in shown]
    # What no page shows in full: it is fitted to a drawing, split into lines, or not shown at all.
    assert len(missing) < 0.1 * len(wanted), missing


def test_titles_and_the_page_frame_hold_no_markup(manuals):
    hostile, harmless, _ = manuals
    markup = {"copy_note", "saved_line"}  # made by templates, with no text of the van file
    assert {key: hostile.extra[key] for key in markup} == {key: harmless.extra[key] for key in markup}
    titles = [hostile.title, *(value for key, value in hostile.extra.items() if key not in markup)]
    for text in hostile.files.values():
        if isinstance(text, str) and text.startswith("---\ntitle: "):
            titles.append(text.splitlines()[1])
    for title in titles:
        assert not {"<", ">"} & set(str(title)), title
