"""The manual kept on the phone: the script that keeps it, and what its web app manifest says."""

import hashlib
import json
from collections.abc import Iterable, Mapping

from vandoc.manual.book import Book
from vandoc.manual.no_signal.card import PATH as CARD
from vandoc.manual.text import HERE, clean, say

WORKER = "sw.js"
MANIFEST = "manual.webmanifest"
ROBOTS = "robots.txt"
# In this order they are fetched: what helps in the dark comes before what only an electrician reads.
FIRST = (
    CARD,
    "emergency.html",
    "safe.html",
    "stopped.html",
    "lights.html",
    "index.html",
    "assets/",
    "fuse/",
    "trouble.html",
    "fault/",
)
LAST = ("pictures/", "search/", "electrician/")
LEFT_OUT = (WORKER, ROBOTS, ".", "sitemap.xml", "search/search_index.json", "assets/licences/")


def worker(files: Mapping[str, bytes]) -> str:
    """Return the script that keeps every file of a built manual on the phone.

    Parameters
    ----------
    files : mapping of str to bytes
        Content by path in the manual.

    Returns
    -------
    str
        The same for the same files, whatever their order; it changes when any file does.
    """
    listed = [[path, _fingerprint(files[path])] for path in kept(files)]
    whole = _fingerprint(json.dumps(listed).encode())
    source = (HERE / "templates/sw.js").read_text("utf-8")
    return source.replace("$VERSION", json.dumps(whole)).replace("$FILES", json.dumps(listed))


def kept(paths: Iterable[str]) -> list[str]:
    """Return the paths that are kept on the phone, in the order in which they are fetched."""
    return sorted((path for path in paths if not path.startswith(LEFT_OUT)), key=_order)


def files(book: Book) -> dict[str, str | bytes]:
    """Return what a host and a phone read of the manual as a whole: its web app manifest, and robots.txt.

    Search engines read the latter (RFC 9309) at the top of a host only; every page says the same of itself.
    """
    name = clean(book.system.van.name).strip()
    content = {
        "name": say("app.name", name=name),
        "short_name": name,
        "start_url": CARD,
        "scope": "./",
        "display": "minimal-ui",
        "background_color": "#faf7f0",
        "theme_color": "#faf7f0",
        "icons": [
            {"src": "assets/icon.svg", "sizes": "any", "type": "image/svg+xml"},
            {"src": "assets/icon-192.png", "sizes": "192x192", "type": "image/png"},
            {"src": "assets/icon-512.png", "sizes": "512x512", "type": "image/png"},
        ],
    }
    return {
        MANIFEST: json.dumps(content, ensure_ascii=False, indent=1) + "\n",
        ROBOTS: "User-agent: *\nDisallow: /\n",
    }


def _order(path: str) -> tuple[int, str]:
    for rank, beginning in enumerate(FIRST):
        if path.startswith(beginning):
            return rank, path
    return len(FIRST) + (1 if path.startswith(LAST) else 0), path


def _fingerprint(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:16]
