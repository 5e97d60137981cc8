"""The MkDocs plugin: hooks only. The content of pages comes from `vandoc.doors.build`."""

from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from mkdocs.config import config_options as option
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException, PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

from vandoc.doors.build import read, write_manual
from vandoc.doors.output import MARK, WORDS, Lock, Mark, Sources, mark_of, refuse, sources_of
from vandoc.doors.publish import (
    DiskError,
    FinishedPage,
    PageError,
    apply_settings,
    keep_offline,
    navigation,
    own_problems,
)
from vandoc.ground.errors import ChecksFailedError, VandocError
from vandoc.ground.extensions import ignored
from vandoc.ground.messages import Messages
from vandoc.judgement.remedy import findings, stopping
from vandoc.pages.manual.pictures import publishable
from vandoc.pages.manual.workshop_pages import PICTURES, harmless, head_of_page, looping_links

tell = Messages("vandoc.doors", "doors").say

if TYPE_CHECKING:
    from vandoc.pages.manual.pages import Pages

log = get_plugin_logger(__name__)

# The page frame is our own: what the host theme brings along would be published and never read.
HOST_THEME_ASSETS = (
    "assets/javascripts/",
    "assets/stylesheets/",
    "assets/images/",
    "404.html",
    "sitemap.xml",
)


class VandocConfig(Config):
    """Options of the plugin."""

    system = option.File(exists=True)
    """Path of the van file."""
    no_plugins = option.Type(bool, default=False)
    """Whether to ignore what other installed packages add to vandoc."""


class VandocPlugin(BasePlugin[VandocConfig]):
    """Make the manual of one van."""

    serving = False
    lock: Lock | None = None
    making: str | None = None  # the workshop's page that is being made

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:  # noqa: ARG002
        """Remember whether this is a live preview, which must not be kept on any phone."""
        self.serving = command == "serve"

    @event_priority(-50)  # after the offline plugin, which would add a script from another host
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read, judge and write the manual before MkDocs empties the output folder."""
        with ignored() if self.config.no_plugins else nullcontext():
            return self._written(config)

    def _written(self, config: MkDocsConfig) -> MkDocsConfig:
        path = Path(self.config.system)
        root = Path(config.config_file_path).parent if config.config_file_path else Path.cwd()
        try:
            if not self.serving:
                refuse(Path(config.site_dir), "manual", _sources(path, config), hidden_stay=True)
            if loops := list(looping_links(Path(config.docs_dir))):
                pages = Path(config.docs_dir).name
                raise VandocError(
                    "\n".join(tell("plugin.link_to_above", path=f"{pages}/{one}") for one in loops)
                )
            van = read(path, root)
            if stopping(van) and config.strict:
                raise ChecksFailedError("\n".join(map(str, stopping(van))))
            self.pages: Pages = write_manual(van)
        except VandocError as error:
            raise PluginError(str(error)) from error
        for finding in findings(van):
            if finding.severity == "fail" and finding.acknowledged is None:
                log.warning(str(finding))
            elif finding.open:
                log.info(str(finding))
        self.folders = van.van_file.folders
        # Folders, not files: a part sheet or picture named in a later edit is watched too. The folder of the
        # workshop file is not watched, since it also holds other vans.
        shop = van.van_file.workshop
        alone = [path for path in (shop.path, shop.logo) if path is not None] if shop is not None else []
        config.watch.extend(map(str, (*self.folders, *alone)))
        apply_settings(config, self.pages, draft=bool(stopping(van)))
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Mark the output folder as one that is being written, before MkDocs empties it."""
        if self.serving:
            return
        site = Path(config.site_dir)
        try:
            site.mkdir(parents=True, exist_ok=True)
            self.lock = Lock(site / MARK)
            self.lock.write(Mark("manual").text())
        except BlockingIOError as error:
            raise PluginError(WORDS.say("busy", target=site)) from error
        except OSError as error:
            raise PluginError(WORDS.say("unwritable", path=site, reason=error.strerror)) from error

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add the pages and drawings; what the workshop added never replaces them."""
        for file in list(files):
            if file.src_dir != config.docs_dir and file.src_uri.startswith(HOST_THEME_ASSETS):
                files.remove(file)
        self.own = {file.src_uri: file for file in files if _is_own(file, config)}
        problems = own_problems(self.own.values(), self.pages, self.folders)
        if problems:
            raise PluginError("\n".join(problems))
        for name, file in self.own.items():
            if name.lower().endswith(PICTURES):
                files.remove(file)
                files.append(File.generated(config, name, content=_publishable(file)))
        built_files: dict[str, File] = {}
        for path, content in sorted(self.pages.files.items()):
            file = File.generated(config, path, content=content)
            files.append(file)
            if path.endswith(".md"):
                FinishedPage(file, config, built_files)
        built_files.update({file.dest_uri: file for file in files})
        config.nav = navigation(self.pages, files)
        return files

    def on_pre_page(self, page: Page, *, config: MkDocsConfig, files: Files) -> Page:  # noqa: ARG002
        """Remember which page of the workshop is made: libraries may fail on what it says."""
        self.making = page.file.src_uri if page.file.src_uri in self.own else None
        return page

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002
        """Take from the head of a workshop's page what it may say there: scripts and templates are ours."""
        if page.file.src_uri in self.own:
            page.meta = head_of_page(page.meta)

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:  # noqa: ARG002
        """Leave out of a workshop's page what runs, or asks another host for something."""
        self.making = None
        if page.file.src_uri not in self.own:
            return html
        made, gone = harmless(html)
        if gone:
            log.warning(tell("plugin.not_allowed_manual", path=page.file.src_uri, gone=", ".join(gone)))
        return made

    @event_priority(100)  # before other plugins, which may fail on it
    def on_page_context(self, context: Any, *, page: Page, config: MkDocsConfig, nav: Any) -> Any:  # noqa: ARG002
        """Remember which page of the workshop is put into its frame."""
        self.making = page.file.src_uri if page.file.src_uri in self.own else None
        return context

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:  # noqa: ARG002
        """Forget the page, which is written now."""
        self.making = None
        return output

    @event_priority(-100)  # when every other plugin has written its files
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Add the script that keeps the built files on the phone."""
        if not self.serving:
            site = Path(config.site_dir)
            keep_offline(site)
            if self.lock is not None:
                self.lock.write(mark_of(site, "manual").text())
                self.lock.release()

    def on_build_error(self, *, error: Exception) -> None:
        """Let another build have the output folder; say in one line what the disk, or a page, refused."""
        if self.lock is not None:
            self.lock.release()
            if isinstance(error, OSError):
                raise DiskError(error, self.lock.path.parent) from error
        if self.making is not None and not isinstance(error, MkDocsException):
            raise PageError(self.making, error) from error


def _sources(van_file: Path, config: MkDocsConfig) -> Sources:
    """What the site is made from: the van's files, and what the configuration names."""
    named = [Path(config.config_file_path)] if config.config_file_path else []
    hooks = [named[0].parent / hook for hook in config.hooks] if named else []
    folders = [Path(str(folder)) for folder in (config.docs_dir, config.theme.custom_dir) if folder]
    return sources_of(van_file) | Sources((*named, *hooks), tuple(folders))


def _is_own(file: File, config: MkDocsConfig) -> bool:
    """Whether the workshop wrote a file that is published."""
    written = file.src_dir == config.docs_dir and file.generated_by is None
    return written and not file.inclusion.is_excluded()


def _publishable(file: File) -> bytes:
    try:
        return publishable(file.content_bytes, file.src_uri)
    except (VandocError, OSError) as error:
        raise PluginError(f"{file.src_uri}: {error}") from error
