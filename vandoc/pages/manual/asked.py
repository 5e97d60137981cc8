"""What people ask the search for: the words of each page, as data for its script."""

import json
import re
from collections.abc import Iterable

from vandoc.ground.messages import Messages
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.owner.start import synonyms
from vandoc.pages.manual.page import Page, built
from vandoc.pages.manual.trouble.symptoms import faults, name_of, path_of

ASKED = Messages("vandoc.pages.manual", "asked")
PATH = "assets/asked.js"
ELECTRICIANS = "electrician/"
PAGE_WEIGHTS = {
    "battery.md": 1.4,
    "tonight.md": 0.6,
    "safe.md": 1.5,
    "emergency.md": 1.5,
    "emergency.md#fire": 1.5,
    "emergency.md#alarm": 1.5,
    "charging.md": 2.0,
    "charging.md#sun": 1.5,
    "charging.md#driving": 1.2,
    "lights.md": 1.5,
    "rescue.md": 0.6,
}
"""How much sooner than others a page comes where several are asked for in the same words; own choice. [1]"""
SYMPTOM_WEIGHTS = {
    "stopped": 1.0,
    "all-dead": 1.2,
    "flat-fast": 1.0,
    "half-dead": 0.5,
    "slow": 0.5,
    "weak": 0.5,
    "cuts-out": 0.5,
    "not-charging": 0.5,
    "never-full": 0.5,
    "starter-flat": 0.6,
    "still-on": 0.4,
    "still-charging": 0.4,
    "light": 0.4,
}
"""The same by kind of symptom: who names a device alone most likely means that it has stopped. [1]"""


def file(book: Book, pages: Iterable[Page]) -> dict[str, str | bytes]:
    """Return the script with the words of each page, idle words, and where the electrician's pages are."""
    paths = {page.path for page in pages}
    said = {_page(name): words for name, words in ASKED["pages"].items()}
    asked = {built(path): words for path, words in said.items() if path.partition("#")[0] in paths}
    weights = {built(path): weight for path, weight in PAGE_WEIGHTS.items()}
    for fault in faults(book):
        path = built(path_of(fault))
        asked[path] = _words(book, fault.kind, name_of(book, fault))
        if fault.kind == "not-charging":
            asked[path] += f" {ASKED['symptoms'][fault.subject.replace(' ', '_')]}"
        weights[path] = SYMPTOM_WEIGHTS[fault.kind]
    content = {
        "asked": asked,
        "weights": weights,
        "unasked": ASKED["unasked"].split(),
        "negations": ASKED["negations"].split(),
        "last": ELECTRICIANS,
    }
    return {PATH: f"window.__asked = {json.dumps(content, sort_keys=True)};\n"}


def _page(name: str) -> str:
    """Return the path of a page of `asked.yml`, whose keys have no full stops."""
    page, mark, part = name.partition("#")
    return f"{page}.md{mark}{part}"


def _words(book: Book, kind: str, name: str) -> str:
    """The words for a kind of symptom of a device."""
    own = [word for one, load in book.system.loads.items() if book.name(one) == name for word in load.words]
    if kind != "stopped":
        return " ".join((ASKED["symptoms"][kind], name, *own)).strip()
    said = set(re.split(r"[^\w-]+", " ".join((name, *own)).casefold()))
    noticed = [group["noticed"] for group in ASKED["devices"] if said & set(group["words"])]
    return " ".join((ASKED["symptoms"][kind], synonyms(name, *own), *noticed)).strip()
