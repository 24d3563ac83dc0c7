"""The Content-Security-Policy of a page: our own scripts, and the theme's inline ones by their hash."""

import base64
import hashlib
from html.parser import HTMLParser
from typing import Final

POLICY_MARK: Final = "@@faultleaf-content-policy@@"
"""Stands in the templates where the policy goes, since its hashes need the finished page."""

_EXECUTED: Final = ("", "text/javascript", "module")


def policy_for(html: str) -> str:
    """The policy under which exactly the scripts of this page run (CSP level 3, `script-src` with hashes)."""
    finder = _ScriptFinder()
    finder.feed(html)
    hashes = " ".join(sorted({f"'sha256-{_digest(script)}'" for script in finder.scripts}))
    return (
        f"default-src 'none'; script-src 'self' {hashes}; style-src 'self'; font-src 'self'; "
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
