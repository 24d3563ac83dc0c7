"""The Content-Security-Policy of a page: our own scripts, and the theme's inline ones by their hash.

Only scripts that stand in the theme's templates are blessed, so that one that came in by a name, a card or a page of
prose does not run.
"""

import base64
import hashlib
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Final

POLICY_MARK: Final = "@@faultleaf-content-policy@@"
"""Stands in the templates where the policy goes, since its hashes need the finished page."""
_OPEN, _CLOSE = "<script>", "</script>"
_EXPRESSION: Final = ("{{", "}}")
_FROM_PAGE_TO_ROOT: Final = "base_url"


class Policy:
    """The policies of a site whose theme lies in these folders."""

    def __init__(self, folders: Iterable[str], live_reload: bool = False) -> None:
        templates = (path for folder in folders for path in sorted(Path(folder).rglob("*.html")))
        texts = (path.read_text(encoding="utf-8", errors="replace") for path in templates)
        self._scripts = tuple(dict.fromkeys(script for text in texts for script in _inline_scripts(text)))
        self._live_reload = live_reload

    def of(self, html: str, base_url: str) -> str:
        """The policy under which the theme's scripts on this page run and no others (CSP level 3, hashes).

        `base_url` is the way from the page to the site's root, which some of them hold. Where MkDocs serves the
        site, it adds a script of its own that asks for news; then everything inline may run.
        """
        known = _known(self._scripts, base_url)
        hashes = sorted({digest for script, digest in known if f"{_OPEN}{script}{_CLOSE}" in html})
        allowed = "'unsafe-inline'; connect-src 'self'" if self._live_reload else " ".join(hashes)
        return (
            f"default-src 'none'; script-src 'self' {allowed}; style-src 'self'; font-src 'self'; "
            "img-src 'self' data:; base-uri 'none'; form-action 'none'"
        )


@cache
def _known(scripts: tuple[str, ...], base_url: str) -> tuple[tuple[str, str], ...]:
    """The scripts as they stand on a page, each with its hash."""
    filled = [text for script in scripts if (text := _filled(script, base_url)) is not None]
    return tuple((text, f"'sha256-{_digest(text)}'") for text in filled)


def _filled(script: str, base_url: str) -> str | None:
    """The script with the way to the root put in; None where it asks for anything else."""
    parts = script.split(_EXPRESSION[0])
    done = [parts[0]]
    for part in parts[1:]:
        expression, closed, rest = part.partition(_EXPRESSION[1])
        if not closed or _FROM_PAGE_TO_ROOT not in expression:
            return None
        done += [base_url, rest]
    return None if "{%" in script else "".join(done)


def _inline_scripts(template: str) -> Iterator[str]:
    at = template.find(_OPEN)
    while at >= 0:
        end = template.find(_CLOSE, at)
        if end < 0:
            return
        yield template[at + len(_OPEN) : end]
        at = template.find(_OPEN, end)


def _digest(script: str) -> str:
    return base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
