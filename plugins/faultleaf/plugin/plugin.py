"""The hooks. Each guards, delegates and returns; what is built is decided in `pipeline`."""

import logging
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import escape
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import get_toc

from faultleaf.diagnosis import DiagnosisError
from faultleaf.diagnosis.worth.figured import USUAL
from faultleaf.intake import Layer, fingerprint
from faultleaf.pages import SitePage
from faultleaf.pipeline.build import Built, ContentError, build
from faultleaf.plugin import files as site_files
from faultleaf.plugin.config import FaultleafConfig
from faultleaf.plugin.policy import Policies
from faultleaf.plugin.watch import notices_are_shown
from faultleaf.sheets import SheetError

# Below "mkdocs.plugins" so that --strict counts our warnings.
log = logging.getLogger("mkdocs.plugins.faultleaf")
THEME = Path(__file__).parent / "theme"


class FaultleafPlugin(BasePlugin[FaultleafConfig]):  # type: ignore[no-untyped-call]  # MkDocs types it only in part
    """Turns a folder of cards into the pages of a site."""

    def __init__(self) -> None:
        self._built: Built | None = None
        self._pages: Mapping[str, SitePage] = {}
        self._made_from: tuple[str, int] = ("", 0)
        self._shared: Mapping[str, Any] = {}

    def on_startup(self, **_: Any) -> None:
        """Named so that `mkdocs serve` keeps this plugin, and what it has built, between builds."""

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Refuse settings that would break the offline site, and add our theme folder."""
        if config.use_directory_urls:
            raise PluginError("mkdocs.yml: set 'use_directory_urls: false'; pages must open from a folder.")
        if config.theme.get("font", None) is not False:
            raise PluginError("mkdocs.yml: set 'font: false' under 'theme'; the site ships its own font.")
        config.theme.dirs.insert(0, str(THEME))
        config.extra_css[:0] = list(site_files.STYLES)
        config.extra_javascript[:0] = list(site_files.SCRIPTS)
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Read and check the cards before MkDocs empties its output folder."""
        layers = self._layers(config)
        made_from = fingerprint(layers), self.config.shakings
        if self._built is not None and made_from == self._made_from:
            return
        self._built, self._made_from = None, made_from
        try:
            self._built = build(layers, self._cache(config), replace(USUAL, shakings=self.config.shakings))
        except ContentError as error:
            for mistake in error.mistakes:
                log.error(str(mistake))
            count = len(error.mistakes)
            raise PluginError(f"{count} mistake{'s' * (count != 1)} in the cards; nothing was built.") from None
        except (DiagnosisError, SheetError) as error:
            raise PluginError(f"{error}; nothing was built.") from None
        self._pages = {page.path: page for page in self._built.pages}
        for warning in self._built.warnings:
            log.info(str(warning))

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Put the generated pages in the place of the cards."""
        built = self._site()
        site_files.replace_cards(files, config, built)
        if not config.nav:
            config.nav = site_files.navigation(built, files)
        return files

    def on_page_markdown(self, markdown: str, *, page: Page, **_: Any) -> str:
        """Give a generated page its title and shell."""
        made = self._page(page)
        if made is None:
            return markdown
        # The theme writes these into tags and attributes as they stand.
        title, description = str(escape(made.title)), str(escape(made.description))
        page.meta = {"title": title, "description": description, "template": f"fl-{made.shell}.html"}
        return ""

    def on_page_content(self, html: str, *, page: Page, **_: Any) -> str:
        """Give a generated page its article and table of contents."""
        made = self._page(page)
        if made is None:
            return html
        page.toc = get_toc(
            [{"level": 2, "id": h.id, "name": str(escape(h.title)), "children": []} for h in made.headings]
        )
        return made.html

    def on_env(self, env: Environment, **_: Any) -> Environment:
        """Let the templates see the site's values."""
        self._policies = Policies(env)
        env.globals["faultleaf"] = self._shared = {
            "site": self._site().library.site, "policy": "", "call_scripts": site_files.CALL_SCRIPTS,
            "worksheet_scripts": site_files.WORKSHEET_SCRIPTS,
        }  # fmt: skip
        return env

    def on_template_context(self, context: Any, *, template_name: str, **_: Any) -> Any:
        """Give a page that stands outside the navigation (404) its content policy."""
        return self._with_policy(context, template_name) if template_name.endswith(".html") else context

    def on_page_context(self, context: Any, *, page: Page, **_: Any) -> Any:
        """Give a page its content policy."""
        return self._with_policy(context, page.meta.get("template", "main.html"))

    def on_post_page(self, output: str, *, page: Page, **_: Any) -> str:
        """Refuse a page that tells somebody to act without the notice."""
        made = self._page(page)
        site = self._site().library.site
        notices = (site.notice, *(local.text for local in site.notices))
        if made is None or not made.acts:
            return output
        # The article alone is read where it stands in the page as we made it: navigation may be twenty times as long.
        if not notices_are_shown(made.html if made.html in output else output, notices):
            raise PluginError(f"{made.path}: this page tells somebody to act and lacks the local-code notice.")
        return output

    def on_serve(self, server: Any, *, config: MkDocsConfig, **_: Any) -> Any:
        """Watch the library's folders too."""
        for layer in self._layers(config):
            server.watch(str(layer.root))
        return server

    def _with_policy(self, context: Any, template: str) -> Any:
        context["faultleaf"] = {**self._shared, "policy": self._policies.of(template, context)}
        return context

    def _layers(self, config: MkDocsConfig) -> list[Layer]:
        home = _home(config)
        folders = [(home / folder).resolve() for folder in self.config.library]
        return [Layer(folder, _shown(folder, home)) for folder in [*folders, Path(config.docs_dir)]]

    def _cache(self, config: MkDocsConfig) -> Path | None:
        return _home(config) / self.config.cache if self.config.cache else None

    def _site(self) -> Built:
        if self._built is None:
            raise PluginError("the cards have not been read yet")
        return self._built

    def _page(self, page: Page) -> SitePage | None:
        # A page that the site wrote itself stands in for ours of the same path and keeps its own words.
        return self._pages.get(page.file.dest_uri) if page.file.generated_by else None


def _home(config: MkDocsConfig) -> Path:
    """The folder of mkdocs.yml."""
    return Path(config.config_file_path or ".").resolve().parent


def _shown(folder: Path, home: Path) -> str:
    """The folder as people know it: from mkdocs.yml, never absolute."""
    return Path(*folder.parts[len(home.parts) :]).as_posix() if folder.is_relative_to(home) else folder.name
