"""Pages of a manual as chapters of one document: links become references, screen-only parts are removed."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from posixpath import dirname, join, normpath
from xml.etree import ElementTree as ET

import tinyhtml5

from vandoc.pages.diagram.svg import identifier
from vandoc.pages.manual.finished import finished
from vandoc.paper.books.drawings import SVG, printable, size_of
from vandoc.paper.pdf import address

ON_SCREEN = {"form", "script", "button", "input", "select", "style"}
ON_SCREEN_CLASSES = {"swipe", "twin", "needs-script", "footnote-backref", "saved", "ways", "gallery"}
REPEATED_CLASSES = {"whom", "onward", "seen"}  # the telephone number is on each page, lights are in the text
RUN_ON_CLASSES = {"do", "told", "wider"}  # lists of an end of a tree that are read once, if at all
MANY, SHORT = 6, 40  # items of a list, and characters of each item, for two columns
BRIEF = 4  # characters of an answer in a fault tree, for two answers on one line
WIDE = 560.0  # px from which a drawing needs the full width of an A5 page


@dataclass
class Drawings:
    """Drawings and pictures of a book, by their name in the document."""

    files: dict[str, bytes] = field(default_factory=dict)

    def add(self, content: bytes, ending: str) -> str:
        """Add a file, equal content only once, and return its address."""
        for name, known in self.files.items():
            if known == content and name.endswith(ending):
                return address(name)
        name = f"drawing-{len(self.files)}.{ending}"
        self.files[name] = content
        return address(name)


def chapter_id(path: str) -> str:
    """Return the anchor of a page's chapter."""
    return f"p-{identifier(path.removesuffix('.md'))}"


def chapter(
    path: str, files: Mapping[str, str | bytes], book: frozenset[str], drawings: Drawings
) -> ET.Element:
    """Return a page as a chapter.

    Parameters
    ----------
    path : str
        Markdown file of the page.
    files : mapping of str to (str or bytes)
        All files of the manual.
    book : frozenset of str
        Pages of this book; links to other pages become plain text.
    drawings : Drawings
        Collects the drawings of the page.
    """
    source = str(files[path])
    body = source.split("---\n", 2)[2] if source.startswith("---\n") else source
    tree = tinyhtml5.parse(f"<body>{finished(body).html}</body>", namespace_html_elements=False)
    found: ET.Element | None = tree.find("body")
    assert found is not None
    _without_screen(found)
    _briefly(found)
    _drawn(found, drawings)
    _arranged(found)
    for item in found.iter():
        if "id" in item.attrib:
            item.set("id", f"{chapter_id(path)}--{item.attrib['id']}")
        if item.tag == "a":
            _linked(item, path, files, book)
        elif item.tag == "img" and "src" in item.attrib and not item.attrib["src"].startswith(address("")):
            _pictured(item, path, files, drawings)
    found.tag = "section"
    found.set("id", chapter_id(path))
    found.set("class", "chapter")
    return found


def classes(item: ET.Element) -> set[str]:
    """Return the classes of an element."""
    return set(item.get("class", "").split())


def _without_screen(root: ET.Element) -> None:
    """Remove elements that only work on a screen."""
    arrows = {
        drawing
        for doors in root.iter("ul")
        if "doors" in classes(doors)
        for drawing in doors.iter(f"{{{SVG}}}svg")
    }
    for parent in list(root.iter()):
        for child in list(parent):
            if child.tag in ON_SCREEN or classes(child) & ON_SCREEN_CLASSES or child in arrows:
                _removed(parent, child)


def _briefly(root: ET.Element) -> None:
    """Reduce a fault tree to its numbered steps in text: a book has hundreds of them."""
    for tree in root.iter("div"):
        if "tree" not in classes(tree):
            continue
        for parent in list(tree.iter()):
            for child in list(parent):
                if child.tag == "figure" or classes(child) & REPEATED_CLASSES:
                    _removed(parent, child)
        for found in tree.iter("ul"):
            if "choices" in classes(found) and _is_short(found):
                found.set("class", " ".join(("choices", "short")))
        for found in [one for one in tree.iter("ul") if classes(one) & RUN_ON_CLASSES]:
            _run_on(found)
    for parent in list(root.iter()):
        for child in list(parent):
            if "tree" in classes(child):  # what holds for every step is read before the first
                parent.remove(child)
                parent.append(child)


def _run_on(items: ET.Element) -> None:
    """Turn a list of whole sentences into one paragraph with all of them."""
    said = [" ".join("".join(item.itertext()).split()) for item in items]
    items.clear()
    items.tag, items.text = "p", " ".join(f"•\u00a0{one}" for one in said)


def _is_short(choices: ET.Element) -> bool:
    """Whether every answer is a single short word, so that all fit side by side."""
    answers = ["".join(answer.itertext()).strip() for answer in choices.iter("strong")]
    return len(answers) == 2 and all(len(answer) <= BRIEF for answer in answers)


def _removed(parent: ET.Element, child: ET.Element) -> None:
    """Remove an element but keep the text after it."""
    place = list(parent).index(child)
    if child.tail:
        if place:
            before = parent[place - 1]
            before.tail = (before.tail or "") + child.tail
        else:
            parent.text = (parent.text or "") + child.tail
    parent.remove(child)


def _drawn(root: ET.Element, drawings: Drawings) -> None:
    """Move each drawing into a file, and put an image in its place."""
    for parent in list(root.iter()):
        if not isinstance(parent.tag, str) or parent.tag.startswith(f"{{{SVG}}}"):
            continue
        for place, child in enumerate(list(parent)):
            if child.tag != f"{{{SVG}}}svg":
                continue
            small = child.get("aria-hidden") == "true"
            light = {"word"} & classes(parent) and parent in _light_words(root)
            width, _ = size_of(child)
            tail, child.tail = child.tail, None
            content, words = printable(child, "#ffffff" if light else "#1d1a16", styled=not small)
            source = drawings.add(content, "svg")
            if (
                small
            ):  # beside text with the same meaning: drawn in the background, hidden from screen readers
                picture = ET.Element("span", {"class": "patch", "style": f"background-image: url({source})"})
            else:
                picture = ET.Element("img", {"src": source, "alt": words, "style": f"max-width: {width:g}px"})
                picture.set("class", "wide" if width > WIDE else "drawn")
            picture.tail = tail
            parent[place] = picture


def _arranged(root: ET.Element) -> None:
    """Put a photograph beside the plan before it, and a long list into two columns."""
    for parent in list(root.iter()):
        for before, after in pairwise(list(parent)):
            if before.tag == "figure" and "photo" in classes(after):
                pair = ET.Element("div", {"class": "beside"})
                pair.tail = after.tail
                place = list(parent).index(before)
                parent.remove(before)
                parent.remove(after)
                pair.extend([before, after])
                parent.insert(place, pair)
    for found in root.iter("ul"):
        if (
            len(found) >= MANY
            and not found.get("class")
            and all(len("".join(item.itertext())) < SHORT for item in found)
        ):
            found.set("class", "many")


def widest_px(root: ET.Element) -> float:
    """Return the intended width of the widest drawing of a chapter."""
    widths = [re.search(r"max-width: ([\d.]+)px", item.get("style", "")) for item in root.iter("img")]
    return max((float(found[1]) for found in widths if found), default=0.0)


def _light_words(root: ET.Element) -> list[ET.Element]:
    """Return the signal words that are set in light letters on a dark background."""
    return [
        word
        for panel in root.iter("div")
        if "signal" in classes(panel) and classes(panel) & {"danger", "notice"}
        for word in panel.iter("p")
    ]


def _linked(item: ET.Element, path: str, files: Mapping[str, str | bytes], book: frozenset[str]) -> None:
    """Turn a link into a reference to a page of this book, or into plain text."""
    href = item.attrib.pop("href", None)
    if href is None:
        return
    if re.match(r"tel:|https?:|mailto:", href):
        item.set("href", href)
        item.set("class", "outside" if href.startswith("http") else "dial")
        return
    target, _, anchor = href.partition("#")
    page = normpath(join(dirname(path), target)) if target else path
    page = f"{page.removesuffix('.html')}.md" if page.endswith(".html") and page not in files else page
    if page not in book:
        item.tag = "span"
        item.set("class", "elsewhere" if page in files and page.endswith(".md") else "file")
        return
    note = anchor.startswith("fn")
    item.set("href", f"#{chapter_id(page)}{f'--{anchor}' if anchor else ''}")
    item.set("class", f"{item.get('class', '')} {'note' if note else 'page'}".strip())


def _pictured(item: ET.Element, path: str, files: Mapping[str, str | bytes], drawings: Drawings) -> None:
    name = normpath(join(dirname(path), item.attrib["src"]))
    content = files.get(name)
    if isinstance(content, bytes):
        item.set("src", drawings.add(content, name.rpartition(".")[2].lower()))
    else:
        item.tag = "span"
        item.attrib.clear()


def anchors(chapters: Mapping[str, ET.Element]) -> Iterator[str]:
    """Yield every anchor of a book."""
    for found in chapters.values():
        for item in found.iter():
            if "id" in item.attrib:
                yield item.attrib["id"]


def without_dead_ends(chapters: Mapping[str, ET.Element]) -> None:
    """Redirect references to removed elements to the start of their page."""
    known = set(anchors(chapters))
    for found in chapters.values():
        for item in found.iter("a"):
            href = item.get("href", "")
            if href.startswith("#") and href[1:] not in known:
                item.set("href", href.partition("--")[0])
