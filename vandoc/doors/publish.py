"""MkDocs for one van or many: its settings for a manual, and a build that is complete or without effect."""

import logging
import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib.resources import as_file, files
from io import BytesIO
from pathlib import Path
from posixpath import dirname, join, normpath
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote, urlsplit

import yaml

from vandoc.doors.output import WORDS as OUTPUT
from vandoc.doors.output import fresh_folder, name_of, sources_of
from vandoc.ground.errors import Location, Problem, VandocError, readable
from vandoc.ground.languages import translation
from vandoc.ground.memory import nothing_collected
from vandoc.ground.messages import speaking
from vandoc.pages.manual.finished import addresses, finished
from vandoc.pages.manual.page import built
from vandoc.pages.manual.settings import markdown_extensions, settings
from vandoc.pages.manual.workshop_pages import collisions, fault_of_path
from vandoc.reading.loader import load

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException, PluginError
from mkdocs.plugins import get_plugin_logger
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import get_toc

from vandoc.ground.messages import Messages

tell = Messages("vandoc.doors", "doors").say
log = get_plugin_logger(__name__)

if TYPE_CHECKING:
    from vandoc.pages.manual.pages import Pages

THEME = files("vandoc.pages.manual") / "theme"
LINK = re.compile(r"Doc file '(?P<page>.+?)' contains an? (?:.*? )?link '(?P<link>.+?)'[, ]", re.DOTALL)
WRITTEN_LATER = ("sw.js", "search/search_index.js", "search/search_index.json", "sitemap.xml", "404.html")


def apply_settings(config: MkDocsConfig, pages: "Pages", *, draft: bool) -> None:
    """Apply the settings that a manual needs, overriding the workshop's mkdocs.yml.

    Parameters
    ----------
    config : MkDocsConfig
        Changed in place.
    pages : Pages
        Pages of the manual.
    draft : bool
        Whether each page must state that checks fail.
    """
    with as_file(THEME) as folder:
        config.theme.dirs.insert(0, str(folder))
    for key, value in settings()["theme"].items():
        if key != "name":
            config.theme[key] = value
    config.theme["language"] = pages.language
    # A manual needs neither: the error page has links that only work at the root of a host, and the list is
    # for search engines, which are not wanted.
    config.theme.static_templates -= {"404.html", "sitemap.xml"}
    config.site_name = pages.title
    config.use_directory_urls = False
    extensions = markdown_extensions()
    config.markdown_extensions = list(dict.fromkeys([*config.markdown_extensions, *extensions]))
    config.mdx_configs.update({name: options for name, options in extensions.items() if options})
    config.extra["vandoc"] = {**pages.extra, "draft": draft}
    config.extra["polyfills"] = []


class FinishedPage(Page):
    """A generated page. MkDocs frames its HTML and learns what it links to, whether by Markdown or by HTML.

    Parameters
    ----------
    file : File
    config : MkDocsConfig
    built_files : mapping of str to File
        All files by the address at which they are published; may be filled later.
    """

    def __init__(self, file: File, config: MkDocsConfig, built_files: Mapping[str, File]) -> None:
        super().__init__(None, file, config)
        self._built_files = built_files

    def render(self, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002
        """Finish the page; a link that leads nowhere is a warning."""
        made = finished(self.markdown or "")
        self.content, self.toc = made.html, get_toc(made.contents)
        self.present_anchor_ids, targets = addresses(made.html)
        self.links_to_anchors = {}
        for target in sorted(targets):
            scheme, host, path, _, anchor = urlsplit(target)
            if scheme or host:
                continue
            near = normpath(join(dirname(self.file.dest_uri), unquote(path))) if path else self.file.dest_uri
            file = self._built_files.get(near)
            if file is None:
                log.warning(tell("publish.link_leads_nowhere", page=self.file.src_uri, target=target))
            elif anchor:
                self.links_to_anchors.setdefault(file, {}).setdefault(anchor, target)


def navigation(pages: "Pages", files: Files) -> list[Any]:
    """Return the navigation: the manual's own, then the workshop's pages."""
    own = [file.src_uri for file in files.documentation_pages() if file.src_uri not in pages.files]
    extra = [{pages.extra_title: sorted(own)}] if own else []
    return [*pages.navigation, *extra]


def own_problems(own: Iterable[File], pages: "Pages", folders: Sequence[Path]) -> list[str]:
    """Return why files added by the workshop may not be published.

    Parameters
    ----------
    own : iterable of File
    pages : Pages
        Pages of the manual.
    folders : sequence of Path
        Folders that the van file names: its own, and those of part sheets and pictures.
    """
    own = list(own)
    found = []
    for file in own:
        root = Path(file.src_dir or ".")
        fault = fault_of_path(root / file.src_uri, root, folders)
        if fault:
            found.append(f"{root.name}/{file.src_uri} {fault}")
    theme = Path(str(THEME))
    ours = [built(path) for path in pages.files]
    ours += [path.relative_to(theme).as_posix() for path in theme.rglob("*") if path.is_file()]
    for name, taken in collisions({file.dest_uri: file.src_uri for file in own}, (*ours, *WRITTEN_LATER)):
        found.append(tell("publish.pages_name_page", name=name, taken=taken))
    return found


def keep_offline(site: Path) -> None:
    """Add the script that stores a built manual on the phone to its folder."""
    from vandoc.pages.manual.no_signal.offline import WORKER, worker

    paths = sorted(path for path in site.rglob("*") if path.is_file())
    script = worker({path.relative_to(site).as_posix(): path.read_bytes() for path in paths})
    (site / WORKER).write_text(script, "utf-8")


def publish(van_file: Path, out: Path, *, draft: bool = False) -> Path:
    """Build one van's manual beside its published folder, then swap the two.

    Parameters
    ----------
    van_file : Path
        The van file; the manual takes the name of its folder. Pages in `pages` beside it are added.
    out : Path
        Folder of the manuals.
    draft : bool
        Build even if checks fail; each page then states so.

    Returns
    -------
    Path
        The manual's folder.

    Raises
    ------
    ChecksFailedError
        If a check fails and no draft is requested.
    VandocError
        With the reason; a `RefusedError` if the folder may not be replaced. In all cases the published
        manual is unchanged.
    """
    target = out / name_of(van_file)
    with fresh_folder(target, "manual", sources_of(van_file)) as fresh:
        empty = fresh.with_name("pages")
        empty.mkdir()
        own = Path(os.path.realpath(van_file)).parent / "pages"
        if own.is_dir() and not own.resolve().is_relative_to(own.parent):
            raise VandocError(tell("publish.link_out_vans_folder", own=own))
        _build(van_file, own if own.is_dir() else empty, fresh, strict=not draft)
    return target


def withdraw(van_file: Path, out: Path) -> Path:
    """Replace a van's manual by one page that says it is withdrawn; phones then delete their copy.

    Parameters
    ----------
    van_file, out : Path
        As for :func:`publish`; the van may fail its checks.

    Returns
    -------
    Path
        The manual's folder.

    Raises
    ------
    VandocError
        With the reason; the published manual is then unchanged.
    """
    from vandoc.pages.manual.no_signal.withdrawn import files

    target = out / name_of(van_file)
    system = load(van_file).system
    with speaking(translation(system.language), system.house.units):
        content = files(system)
    with fresh_folder(target, "manual", sources_of(van_file)) as fresh:
        for path, text in content.items():
            (fresh / path).write_text(text, "utf-8")
    return target


class DiskError(PluginError):
    """What the disk refused while MkDocs built.

    Parameters
    ----------
    refusal : OSError
    site : Path
        Named where the system names no file.
    """

    def __init__(self, refusal: OSError, site: Path) -> None:
        path, reason = Path(refusal.filename2 or refusal.filename or site), refusal.strerror or refusal
        said = OUTPUT.say("unwritable", path=path, reason=reason)
        super().__init__(said if path.is_relative_to(site) else f"{path}: {reason}")
        self.refusal = refusal


class PageError(PluginError):
    """What the libraries make of a workshop's page that they cannot read.

    Parameters
    ----------
    path : str
        The page.
    error : Exception
    """

    def __init__(self, path: str, error: Exception) -> None:
        reason = readable(str(error) or type(error).__name__)
        super().__init__(tell("publish.page_cannot_be_read", path=readable(path), reason=reason))


def _build(van_file: Path, docs: Path, site: Path, *, strict: bool) -> None:
    text = yaml.safe_dump(
        {
            "site_name": van_file.stem,
            "docs_dir": str(docs),
            "site_dir": str(site),
            "strict": strict,
            "theme": {"name": settings()["theme"]["name"]},
            "plugins": [*settings()["plugins"], {"vandoc": {"system": str(van_file.resolve())}}],
            "validation": settings()["validation"],
        }
    )
    here = str(Path.cwd() / "mkdocs.yml")  # findings are shown relative to the working folder
    with nothing_collected(), _epoch(), _collected_warnings(docs) as warnings:
        try:
            build(load_config(BytesIO(text.encode()), config_file_path=here))
        except MkDocsException as error:
            plugin_error = error if isinstance(error, PluginError) else error.__context__
            if isinstance(plugin_error, DiskError):
                raise plugin_error.refusal from None
            if isinstance(error, PageError):
                raise VandocError(str(error)) from error
            if isinstance(plugin_error, PluginError) and isinstance(plugin_error.__cause__, VandocError):
                raise plugin_error.__cause__ from None
            raise VandocError("\n".join(warnings) or str(error)) from error


@contextmanager
def _collected_warnings(docs: Path) -> Iterator[list[str]]:
    """Collect the warnings of MkDocs, which would otherwise appear in the terminal without the reason."""
    messages: list[str] = []

    class Collect(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            messages.append(_placed(record.getMessage(), docs))

    logger, handler = logging.getLogger("mkdocs"), Collect(logging.WARNING)
    before = logger.propagate
    logger.addHandler(handler)
    logger.propagate = False
    try:
        yield messages
    finally:
        logger.removeHandler(handler)
        logger.propagate = before


def _placed(message: str, docs: Path) -> str:
    """Return a warning of MkDocs on one line, with the place of the link that it is about."""
    found = LINK.match(message)
    page = docs / found["page"] if found else None
    if found is None or page is None or not page.is_file():
        return "\n".join(map(readable, message.split("\n")))
    text, link = page.read_text("utf-8-sig"), re.escape(found["link"])
    at = re.search(rf"(?<=\()<?{link}", text) or re.search(link, text)
    start = at.start() if at else 0
    place = Location(
        os.path.relpath(page), text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)
    )
    return str(Problem(place, message))


@contextmanager
def _epoch() -> Iterator[None]:
    """Keep dates out of the pages, so that two builds of one van file are identical to the byte."""
    before = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = before or "0"
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
