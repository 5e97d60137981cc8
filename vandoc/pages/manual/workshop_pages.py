"""Pages and files added by the workshop: permitted paths, names and content."""

import os
import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date
from functools import cache
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from typing import Any

from vandoc.ground.messages import Messages

tell = Messages("vandoc.pages.manual", "own_files").say

PICTURES = (".jpg", ".jpeg", ".png", ".webp")
KINDS = (".md", *PICTURES, ".pdf")
# Device names that Windows reserves, with any extension, and characters it forbids in file names (common
# practice, from memory): the manual is copied to memory sticks and to hosts of every kind.
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?$", re.IGNORECASE)
_FORBIDDEN = re.compile(r'[<>:"|?*\\\x00-\x1f]|[. ]$')
# Permitted in addition to the elements that the library treats as safe.
ATTRIBUTES = {
    "*": {"class", "id", "title", "lang", "dir", "role"},
    "a": {"href"},
    "img": {"src", "alt", "width", "height", "loading"},
    "td": {"align", "colspan", "rowspan"},
    "th": {"align", "colspan", "rowspan", "scope"},
    "ol": {"start", "type", "reversed"},
    "li": {"value"},
    "time": {"datetime"},
    "details": {"open"},
    "col": {"span"},
    "colgroup": {"span"},
}
FRAME = {"main", "contents", "search", "find", "scheme"}  # ids by which the page frame finds its own elements
SCHEMES = {"https", "http", "tel", "mailto"}


def safe_name(ident: str) -> str:
    """Return a file name for an id of the van file that no operating system reserves for a device.

    Examples
    --------
    >>> safe_name("aux"), safe_name("con.1"), safe_name("console")
    ('_aux', '_con.1', 'console')
    """
    return f"_{ident}" if _DEVICE.match(ident) else ident


def fault_of_path(path: Path, root: Path, folders: Collection[Path]) -> str | None:
    """Return why a file under a folder of pages cannot be published, or None.

    Parameters
    ----------
    path : Path
        The file as found, with links not followed.
    root : Path
        The folder of pages.
    folders : collection of Path
        Folders in which it may be once links are followed, in addition to `root`.
    """
    real = Path(os.path.realpath(path))
    allowed = [Path(os.path.realpath(folder)) for folder in (root, *folders)]
    if not any(real.is_relative_to(folder) for folder in allowed):
        return tell("workshop_pages.link_out_vans_folder")
    if path.suffix.lower() not in KINDS:
        return tell("workshop_pages.cannot_published_use", kinds=", ".join(KINDS))
    for part in path.relative_to(root).parts:
        if _DEVICE.match(part) or _FORBIDDEN.search(part):
            return tell("workshop_pages.name_some_systems")
    return None


def looping_links(root: Path) -> Iterator[str]:
    """Yield each link under a folder of pages that leads to a folder above itself, relative to `root`.

    Following such a link would lead through the same folders without end.
    """
    left: list[tuple[Path, tuple[str, ...]]] = [(root, (os.path.realpath(root),))]
    while left:
        folder, above = left.pop()
        try:
            inner = sorted(Path(entry.path) for entry in os.scandir(folder) if entry.is_dir())
        except OSError:
            continue  # a folder that cannot be read is reported later
        for path in inner:
            real = os.path.realpath(path)
            if any(Path(one).is_relative_to(real) for one in above):
                yield path.relative_to(root).as_posix()
            else:
                left.append((path, (*above, real)))


def collisions(own: Mapping[str, str], others: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield each added file whose address is taken, with the other file; case and accent form are ignored.

    Parameters
    ----------
    own : mapping of str to str
        The name of each added file by its address in the built manual.
    others : iterable of str
        Addresses of the files that the manual itself contains.
    """
    others = list(others)
    taken = {_key(address): address for address in others}
    folders = {_key(str(folder)) for address in (*others, *own) for folder in PurePosixPath(address).parents}
    for address, name in own.items():
        key = _key(address)
        above = [_key(str(folder)) for folder in PurePosixPath(address).parents]
        clash = next(
            (taken[one] for one in (key, *above) if one in taken), address if key in folders else None
        )
        if clash is not None:
            yield name, clash
        else:
            taken[key] = name


@cache
def _key(address: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", address).casefold())


def head_of_page(head: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the head of a workshop's page may say: its title, and whether the search leaves it out.

    Examples
    --------
    >>> head_of_page({"title": 12, "search": {"exclude": True, "boost": "x"}, "template": "redirect.html"})
    {'title': '12', 'search': {'exclude': True}}
    >>> head_of_page({"title": ["a", "b"], "search": "no"})
    {}
    """
    title, search = head.get("title"), head.get("search")
    kept: dict[str, Any] = {}
    if isinstance(title, str | int | float | date):
        kept["title"] = str(title)
    if isinstance(search, Mapping) and search.get("exclude") is True:
        kept["search"] = {"exclude": True}
    return kept


def harmless(html: str) -> tuple[str, list[str]]:
    """Return a workshop page without scripts and requests to other hosts, and a list of what was removed."""
    import nh3  # loaded only if the workshop wrote a page

    def kept(tag: str, name: str, value: str) -> str | None:
        if (
            tag == "img"
            and name == "src"
            and re.match(r"\s*([a-z][a-z0-9+.-]*:|[/\\]{2})", value, re.IGNORECASE)
        ):
            return None
        return f"own-{value}" if name == "id" and value in FRAME else value

    made = nh3.clean(
        html,
        attributes=ATTRIBUTES,
        attribute_filter=kept,
        url_schemes=SCHEMES,
        link_rel=None,
        clean_content_tags={"script", "style"},
    )
    return made, sorted(_parts(html) - _parts(made))


def _parts(html: str) -> set[str]:
    """Return the elements and attributes that occur in HTML."""
    found: set[str] = set()

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            found.add(f"<{tag}>")
            found.update(
                tell("workshop_pages.in", name=name, tag=tag)
                if name not in ("href", "src")
                else tell("workshop_pages.in_2", name=name, value=value, tag=tag)
                for name, value in attrs
            )

    reader = Reader()
    reader.feed(html)
    reader.close()
    return found
