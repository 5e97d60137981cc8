"""The manual kept on the phone: the script that keeps it, and what its web app manifest says."""

import hashlib
import json
import zlib
from collections.abc import Mapping

from vandoc.pages.manual.book import Book
from vandoc.pages.manual.no_signal.card import PATH as CARD
from vandoc.pages.manual.no_signal.card import version
from vandoc.pages.manual.no_signal.single import single_page
from vandoc.pages.manual.text import HERE, clean, say

WORKER = "sw.js"
MANIFEST = "manual.webmanifest"
ROBOTS = "robots.txt"
ROBOTS_AWAY = "User-agent: *\nDisallow: /\n"
UNSAVED = "unsaved.html"
# In this order they are fetched: what helps in the dark comes before the rest.
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
REST = ("electrician/", "lists/")
MEDIA = (".jpg", ".jpeg", ".webp", ".png", ".pdf")
OWNER_BYTES = 1_500_000
"""How much the owner's part may weigh, compressed; pictures beyond it come with the rest."""
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
    owner, rest = ([[path, _fingerprint(files[path])] for path in part] for part in parts(files))
    whole = _fingerprint(json.dumps([owner, rest]).encode())
    source = (HERE / "templates/sw.js").read_text("utf-8")
    for name, value in {"VERSION": whole, "OWNER": owner, "REST": rest, "UNSAVED": UNSAVED}.items():
        source = source.replace(f"${name}", json.dumps(value))
    return source


def parts(files: Mapping[str, bytes]) -> tuple[list[str], list[str]]:
    """Return the paths that are kept on the phone in the order in which they are fetched: owner's, the rest.

    The owner's part holds every page for the owner and all that these need. Only its pictures give way when
    it weighs more than `OWNER_BYTES`: every page says in words what they show.
    """
    kept = sorted((path for path in files if not path.startswith(LEFT_OUT)), key=_order)
    rest = [path for path in kept if path.startswith(REST)]
    pictures = [path for path in kept if path.endswith(MEDIA) and not path.startswith((*REST, "assets/"))]
    owner = [path for path in kept if path not in set(rest + pictures)]
    left = OWNER_BYTES - sum(compressed_size(files[path]) for path in owner)
    for path in pictures:
        size = compressed_size(files[path])
        (owner if size <= left else rest).append(path)
        left -= size if size <= left else 0
    return owner, sorted(rest, key=lambda path: (path.startswith(REST), path))


def compressed_size(content: bytes) -> int:
    """Return about how many bytes a host sends for a file when it compresses (DEFLATE, RFC 1951)."""
    return len(zlib.compress(content, 6))


def files(book: Book) -> dict[str, str | bytes]:
    """Return the web app manifest, robots.txt, and the page that stands in for one that is not kept yet.

    Search engines read robots.txt (RFC 9309) at the top of a host only; every page says the same of itself.
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
