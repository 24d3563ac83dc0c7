"""The hooks. Each guards, delegates and returns; what is built is decided in `pipeline`."""

import datetime as dt
import logging
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, NoReturn
from urllib.parse import urlsplit

from jinja2 import Environment
from markupsafe import escape
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import get_toc

from faultleaf.cards import Mistake
from faultleaf.diagnosis import DiagnosisError
from faultleaf.diagnosis.worth.figured import USUAL
from faultleaf.intake import Layer, fingerprint
from faultleaf.pages import SitePage
from faultleaf.pipeline.build import Built, ContentError, build
from faultleaf.plugin import files as site_files
from faultleaf.plugin.config import FaultleafConfig
from faultleaf.plugin.look import set_look
from faultleaf.plugin.policy import Policies
from faultleaf.plugin.project import ProjectError, kept_in, layers_of
from faultleaf.plugin.published import foreign_files, write_list
from faultleaf.plugin.serving import guarded
from faultleaf.plugin.strays import stray_mistakes
from faultleaf.plugin.watch import active_tag, notices_are_shown
from faultleaf.sheets import SheetError

# Below "mkdocs.plugins" so that --strict counts our warnings.
log = logging.getLogger("mkdocs.plugins.faultleaf")
NOT_FOUND = "404.html"
BEFORE_ALL_REVIEWS = dt.date(2000, 1, 1)
THEME = Path(__file__).parent / "theme"
THEME_OF_OWN_SITE = Path(__file__).parent / "theme_own"


class FaultleafPlugin(BasePlugin[FaultleafConfig]):  # type: ignore[no-untyped-call]  # MkDocs types it only in part
    """Turns a folder of cards into the pages of a site."""

    def __init__(self) -> None:
        self._built: Built | None = None
        self._pages: Mapping[str, SitePage] = {}
        self._made_from: tuple[str, int, str] | None = None
        self._serving, self._name, self._trouble = False, "", list[str]()
        self._shared: Mapping[str, Any] = {}

    def on_startup(self, *, command: str, **_: Any) -> None:
        """Remember whether the site is served; MkDocs then keeps this plugin, and what it has built, between builds."""
        self._serving = command == "serve"

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Refuse settings that would break the offline site, and add our theme folders.

        In a site that is more than its cards, our styles and scripts stand on our pages alone.
        """
        if config.theme.name != "material":
            raise PluginError(
                f"mkdocs.yml: the theme is '{config.theme.name}'; the pages of cards stand in the frame of the theme "
                "'material'. Set 'theme: {name: material, font: false}'."
            )
        if config.use_directory_urls:
            raise PluginError("mkdocs.yml: set 'use_directory_urls: false'; pages must open from a folder.")
        if config.theme.get("font", None) is not False:
            raise PluginError("mkdocs.yml: set 'font: false' under 'theme'; the site ships its own font.")
        config.strict = config.strict and not self._serving  # what fails is shown, see `on_serve`
        self._name = config.site_name
        # The theme writes these into tags as they stand.
        config.site_name, config.site_description = escape(config.site_name), escape(config.site_description or "")
        config.theme.dirs.insert(0, str(THEME))
        if not self.config.cards:
            config.theme.dirs.insert(0, str(THEME_OF_OWN_SITE))
            set_look(config.theme, site_files.FAVICON)
            config.extra_css[:0] = list(site_files.STYLES)
            config.extra_javascript[:0] = list(site_files.SCRIPTS)
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Read and check the cards before MkDocs empties its output folder."""
        layers = self._layers(config)
        self._trouble = []
        if foreign := foreign_files(Path(config.site_dir)):  # MkDocs empties the folder without asking
            raise PluginError(f"{config.site_dir} holds what no build put there, such as '{foreign[0]}'; move it away.")
        if strays := stray_mistakes(layers[-1], config):
            self._refuse(strays, "in the folder of cards")
        made_from = fingerprint(layers), self.config.shakings, self._name
        if self._built is not None and made_from == self._made_from:
            return
        self._built, self._made_from = None, made_from
        try:
            effort = replace(USUAL, shakings=self.config.shakings)
            self._built = build(layers, kept_in(self.config, _home(config)), effort, self._name)
        except ContentError as error:
            self._refuse(error.mistakes, "in the cards")
        except (DiagnosisError, SheetError) as error:
            raise PluginError(f"{error}; nothing was built.") from None
        self._pages = {self._folder + page.path: page for page in self._built.pages}
        for warning in self._built.warnings:
            log.info(str(warning))

    def _refuse(self, mistakes: Iterable[Mistake], where: str) -> NoReturn:
        self._trouble = [str(mistake) for mistake in mistakes]
        for line in self._trouble:
            log.error(line)
        count = len(self._trouble)
        raise PluginError(f"{count} mistake{'s' * (count != 1)} {where}; nothing was built.") from None

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Put the generated pages in the place of the cards."""
        built = self._site()
        site_files.replace_cards(files, config, built, self._folder)
        if self._folder:
            config.nav = site_files.guest_navigation(built, files, self._folder, config.nav)
        elif not config.nav:
            config.nav = site_files.navigation(built, files)
        return files

    def on_page_markdown(self, markdown: str, *, page: Page, **_: Any) -> str:
        """Give a generated page its title and shell, and every page the day of the last review, not today's."""
        page.update_date = self._reviewed()
        made = self._page(page)
        if made is None:
            return markdown
        # The theme writes these into tags and attributes as they stand.
        title, description = str(escape(made.title)), str(escape(made.description))
        page.meta = {"title": title, "description": description, "template": f"fl-{made.shell}.html"}
        return ""

    def on_page_content(self, html: str, *, page: Page, **_: Any) -> str:
        """Give a generated page its article and table of contents; refuse prose that brings a script of its own."""
        made = self._page(page)
        if made is None:
            if not self._folder and (tag := active_tag(html)):
                raise PluginError(f"{page.file.src_uri}: <{tag}> is not allowed in a page; see extra_javascript.")
            return html
        page.toc = get_toc(
            [{"level": 2, "id": h.id, "name": str(escape(h.title)), "children": []} for h in made.headings]
        )
        return made.html

    def on_env(self, env: Environment, **_: Any) -> Environment:
        """Let the templates see the site's values."""
        self._policies = Policies(env, self._serving)
        shared = self._folder != ""  # with pages that are not ours: there, MkDocs must not be told of our scripts
        env.globals["faultleaf"] = self._shared = {
            "site": self._site().library.site,
            "policy": "",
            "home": self._folder,
            "styles": self._placed(site_files.STYLES if shared else ()),
            "scripts": self._placed(site_files.SCRIPTS if shared else ()),
            "call_scripts": self._placed(site_files.CALL_SCRIPTS),
            "worksheet_scripts": self._placed(site_files.WORKSHEET_SCRIPTS),
        }
        return env

    def on_template_context(self, context: Any, *, template_name: str, config: MkDocsConfig) -> Any:
        """Let the page for addresses that are not there find the site, by its address or else from its own folder,
        and give it its content policy."""
        if template_name != NOT_FOUND or self._folder:
            return context
        address = config.site_url or self._site().library.site.address
        context["base_url"] = (urlsplit(address).path or "/") if address else "."
        return self._with_policy(context, template_name)

    def on_page_context(self, context: Any, *, page: Page, **_: Any) -> Any:
        """Give a page its content policy; those of a site that is more than its cards are its own affair."""
        if self._folder and self._page(page) is None:
            return context
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

    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """List the site's files, so that the next build takes nothing else away."""
        write_list(Path(config.site_dir))

    def on_serve(self, server: Any, *, config: MkDocsConfig, builder: Any, **_: Any) -> Any:
        """Watch the library's folders too, and go on serving when a build fails."""
        for layer in self._layers(config):
            server.watch(str(layer.root))
        server.builder = guarded(builder, Path(config.site_dir), lambda: self._trouble)
        return server

    def _with_policy(self, context: Any, template: str) -> Any:
        context["faultleaf"] = {**self._shared, "policy": self._policies.of(template, context)}
        return context

    def _layers(self, config: MkDocsConfig) -> list[Layer]:
        try:
            return layers_of(self.config, Path(config.config_file_path or "mkdocs.yml"), Path(config.docs_dir))
        except ProjectError as error:
            raise PluginError(str(error)) from None

    @property
    def _folder(self) -> str:
        """Where our pages lie in the site: "" or a folder with a slash at its end."""
        return f"{self.config.cards}/" if self.config.cards else ""

    def _placed(self, addresses: Iterable[str]) -> list[str]:
        return [self._folder + address for address in addresses]

    def _reviewed(self) -> str:
        """The day of the last review of any card: when the site last became truer, on every machine alike."""
        days = [card.reviewed for card in self._site().library.cards.values() if card.reviewed]
        return str(max(days, default=BEFORE_ALL_REVIEWS))

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
