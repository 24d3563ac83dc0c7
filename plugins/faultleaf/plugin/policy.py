"""The Content-Security-Policy of a page: script files of the site, and the theme's own inline scripts by their hash.

What a card, a page of prose or a setting brings in never counts: the theme's scripts are read from the page's template
with nothing in it, once for each template and depth in the site.
"""

import base64
import copy
import hashlib
from collections.abc import Mapping
from html.parser import HTMLParser
from typing import Any, Final

from jinja2 import Environment
from mkdocs.structure.nav import Navigation
from mkdocs.structure.toc import get_toc

_EXECUTED: Final = ("", "text/javascript", "module")
_FREE_TEXTS: Final = ("site_name", "site_description", "site_author", "copyright")
"""Settings whose text the theme writes into pages as it stands."""


class Policies:
    """The policies of one build, each worked out when a page first asks for it."""

    def __init__(self, templates: Environment, live_reload: bool = False) -> None:
        self.templates = templates
        self.live_reload = live_reload
        self._known: dict[tuple[str, str], str] = {}

    def of(self, template: str, context: Mapping[str, Any]) -> str:
        """The policy of every page that this template makes at this depth."""
        key = template, str(context["base_url"])
        if key not in self._known:
            emptied = self.templates.get_template(template).render(_emptied(context))
            self._known[key] = policy_for(emptied, self.live_reload)
        return self._known[key]


def _emptied(context: Mapping[str, Any]) -> dict[str, Any]:
    """What a template is given, without a word of an author's."""
    config, page = copy.copy(context["config"]), copy.copy(context["page"])
    for name in _FREE_TEXTS:
        config[name] = ""
    if page is not None:
        page.content, page.title, page.toc, page.meta = "", "", get_toc([]), {"title": "", "description": ""}
    return {**context, "config": config, "page": page, "nav": Navigation([], [])}


def policy_for(html: str, live_reload: bool = False) -> str:
    """The policy under which exactly the scripts of this page run (CSP level 3, `script-src` with hashes).

    Where MkDocs serves the site, it adds a script of its own that asks for news; then everything inline may run.
    """
    finder = _ScriptFinder()
    finder.feed(html)
    hashes = " ".join(sorted({f"'sha256-{_digest(script)}'" for script in finder.scripts}))
    allowed = "'unsafe-inline'; connect-src 'self'" if live_reload else hashes
    return (
        f"default-src 'none'; script-src 'self' {allowed}; style-src 'self'; font-src 'self'; "
        "img-src 'self' data:; base-uri 'none'; form-action 'none'"
    )


def _digest(script: str) -> str:
    return base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()


class _ScriptFinder(HTMLParser):
    """Gathers the text of inline scripts that a browser would run."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.scripts: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "script":
            given = dict(attrs)
            self._inside = "src" not in given and (given.get("type") or "") in _EXECUTED
            if self._inside:
                self.scripts.append("")

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.scripts[-1] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "script":
            self._inside = False
