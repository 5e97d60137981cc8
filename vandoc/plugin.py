"""The MkDocs plugin: hooks only. What a page says is made by `vandoc.build`."""

from pathlib import Path
from typing import TYPE_CHECKING, Literal

from mkdocs.config import config_options as option
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files

from vandoc.build import judge, write_manual
from vandoc.errors import ChecksFailedError, VandocError
from vandoc.publish import apply_settings, keep_offline, navigation

if TYPE_CHECKING:
    from vandoc.manual.pages import Pages

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
    """The van file."""


class VandocPlugin(BasePlugin[VandocConfig]):
    """Make the manual of one van."""

    serving = False

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:  # noqa: ARG002
        """Remember whether this is a live preview, which must not be kept on any phone."""
        self.serving = command == "serve"

    @event_priority(-50)  # after the offline plugin, which would add a script from another host
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read, judge and write the manual before MkDocs empties the output folder."""
        path = Path(self.config.system)
        root = Path(config.config_file_path).parent if config.config_file_path else Path.cwd()
        try:
            judged = judge(path, root)
            if judged.fails and config.strict:
                raise ChecksFailedError("\n".join(map(str, judged.fails)))
            self.pages: Pages = write_manual(judged)
        except VandocError as error:
            raise PluginError(str(error)) from error
        for finding in judged.findings:
            if finding.severity == "fail":
                log.warning(str(finding))
            elif finding.severity == "review":
                log.info(str(finding))
        # Folders, not files: a part sheet or picture named in a later edit is watched too.
        config.watch.extend(sorted({str(file.parent) for file in judged.van_file.files}))
        apply_settings(config, self.pages, draft=bool(judged.fails))
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add the pages and drawings; a page that the workshop wrote itself is never replaced."""
        for file in list(files):
            if file.src_dir != config.docs_dir and file.src_uri.startswith(HOST_THEME_ASSETS):
                files.remove(file)
        for path, content in sorted(self.pages.files.items()):
            if files.get_file_from_path(path) is not None:
                raise PluginError(f"{config.docs_dir}/{path} has the name of a page of the manual; rename it")
            files.append(File.generated(config, path, content=content))
        config.nav = navigation(self.pages, files)
        return files

    @event_priority(-100)  # when every other plugin has written its files
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Add the script that keeps the built files on the phone."""
        if not self.serving:
            keep_offline(Path(config.site_dir))
