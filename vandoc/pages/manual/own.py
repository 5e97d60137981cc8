"""Pages and files that the workshop adds: from where, by which names, and what they may hold."""

import os
import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cache
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath

PICTURES = (".jpg", ".jpeg", ".png", ".webp")
KINDS = (".md", *PICTURES, ".pdf")
# Names that Windows keeps for devices, with any ending, and characters that it takes in no name (common
# practice, from memory): the manual is copied to memory sticks and to hosts of every kind.
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?$", re.IGNORECASE)
_FORBIDDEN = re.compile(r'[<>:"|?*\\\x00-\x1f]|[. ]$')
# Beside the elements that the library knows as harmless.
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
FRAME = {"main", "contents", "search", "find", "scheme"}  # by which the page frame finds its own parts
SCHEMES = {"https", "http", "tel", "mailto"}


def safe_name(ident: str) -> str:
    """Return the name of a file for a thing of the van file, which no system keeps for a device.

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
        The file as it was found, links not followed.
    root : Path
        The folder of pages.
    folders : collection of Path
        Where it may lie once links are followed, beside the folder of pages itself.
    """
    real = Path(os.path.realpath(path))
    allowed = [Path(os.path.realpath(folder)) for folder in (root, *folders)]
    if not any(real.is_relative_to(folder) for folder in allowed):
        return "is a link out of the van's folder; copy the file in its place"
    inner = root
    for part in path.relative_to(root).parts[:-1]:
        outer, inner = inner, inner / part
        if Path(os.path.realpath(outer)).is_relative_to(os.path.realpath(inner)):
            return "is inside a folder that is a link to a folder above it; remove the link"
    if path.suffix.lower() not in KINDS:
        return f"cannot be published; use {', '.join(KINDS)}"
    for part in path.relative_to(root).parts:
        if _DEVICE.match(part) or _FORBIDDEN.search(part):
            return "has a name that some systems cannot store; rename it"
    return None


def collisions(own: Mapping[str, str], others: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield each own file whose address is taken, and by what; case and form of accents make no difference.

    Parameters
    ----------
    own : mapping of str to str
        What each own file is called, by its address in the built manual.
    others : iterable of str
        Addresses of the manual's own files.
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


def harmless(html: str) -> tuple[str, list[str]]:
    """Return a page of the workshop without what runs or asks another host, and what was left out."""
    import nh3  # only where the workshop wrote a page

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
    """Return the kinds of elements and attributes that stand in some HTML."""
    found: set[str] = set()

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            found.add(f"<{tag}>")
            found.update(
                f"{name} in <{tag}>" if name not in ("href", "src") else f"{name}={value} in <{tag}>"
                for name, value in attrs
            )

    reader = Reader()
    reader.feed(html)
    reader.close()
    return found
