"""The copy saved on the phone: its service worker and the web app manifest."""

import hashlib
import json
import zlib
from collections.abc import Mapping

from vandoc.pages.manual.book import Book
from vandoc.pages.manual.no_signal.card import PATH as CARD
from vandoc.pages.manual.no_signal.card import version
from vandoc.pages.manual.no_signal.self_contained import single_page
from vandoc.pages.manual.text import HERE, clean, say

WORKER = "sw.js"
MANIFEST = "manual.webmanifest"
ROBOTS = "robots.txt"
ROBOTS_AWAY = "User-agent: *\nDisallow: /\n"
UNSAVED = "unsaved.html"
# Fetched in this order: pages needed in an emergency come first.
FIRST = (
    UNSAVED,
    CARD,
    "assets/vandoc.css",
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
SAVED_LATER = ("electrician/", "lists/")
MEDIA = (".jpg", ".jpeg", ".webp", ".png", ".pdf")
OWNER_BYTES = 1_500_000
"""Maximum compressed size of the owner's part; pictures in excess are fetched with the rest. [byte]"""
NOT_SAVED = (WORKER, ROBOTS, ".", "sitemap.xml", "search/search_index.json", "assets/licences/")


def worker(files: Mapping[str, bytes]) -> str:
    """Return the service worker that saves every file of a built manual on the phone.

    Parameters
    ----------
    files : mapping of str to bytes
        File contents by path in the manual.

    Returns
    -------
    str
        Identical for identical files in any order; changes when any file changes.
    """
    owner, rest = ([[path, _fingerprint(files[path])] for path in part] for part in parts(files))
    whole = _fingerprint(json.dumps([owner, rest]).encode())
    source = (HERE / "templates/sw.js").read_text("utf-8")
    for name, value in {"VERSION": whole, "OWNER": owner, "REST": rest, "UNSAVED": UNSAVED}.items():
        source = source.replace(f"${name}", json.dumps(value))
    return source


def parts(files: Mapping[str, bytes]) -> tuple[list[str], list[str]]:
    """Return the paths saved on the phone, in the order of fetching: the owner's part, then the rest.

    The owner's part contains every page for the owner with all files they need. If it exceeds `OWNER_BYTES`,
    only its pictures are deferred: every page describes in words what they show.
    """
    kept = sorted((path for path in files if not path.startswith(NOT_SAVED)), key=_order)
    rest = [path for path in kept if path.startswith(SAVED_LATER)]
    pictures = [
        path for path in kept if path.endswith(MEDIA) and not path.startswith((*SAVED_LATER, "assets/"))
    ]
    owner = [path for path in kept if path not in set(rest + pictures)]
    left = OWNER_BYTES - sum(compressed_size(files[path]) for path in owner)
    for path in pictures:
        size = compressed_size(files[path])
        (owner if size <= left else rest).append(path)
        left -= size if size <= left else 0
    return owner, sorted(rest, key=lambda path: (path.startswith(SAVED_LATER), path))


def compressed_size(content: bytes) -> int:
    """Return the approximate transfer size of a compressed file (DEFLATE, RFC 1951). [byte]"""
    return len(zlib.compress(content, 6))


def files(book: Book) -> dict[str, str | bytes]:
    """Return the web app manifest, robots.txt, and the page shown in place of one that is not saved yet.

    Search engines read robots.txt (RFC 9309) only at the root of a host, so every page also states it itself.
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
        UNSAVED: single_page(
            "unsaved",
            ("saved",),
            name=book.system.van.name,
            contact=book.contact,
            number=say("emergency.number"),
            version=version(book),
        ),
        ROBOTS: ROBOTS_AWAY,
    }


def _order(path: str) -> tuple[int, str]:
    for rank, beginning in enumerate(FIRST):
        if path.startswith(beginning):
            return rank, path
    return len(FIRST), path


def _fingerprint(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:16]
