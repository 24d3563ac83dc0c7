"""While `mkdocs serve` runs: a build that fails is shown over the last good site, and the server answers on."""

import logging
from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path
from typing import Final

from faultleaf.cards.mistakes import printable

log = logging.getLogger("mkdocs.plugins.faultleaf")
_BEGIN, _END = "<!--faultleaf-trouble-->", "<!--/faultleaf-trouble-->"
_BODY: Final = "<body"
_ALONE: Final = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Not built</title></head><body></body></html>'
)


def guarded(build: Callable[[], None], site: Path, trouble: Callable[[], Iterable[str]]) -> Callable[[], None]:
    """A `build` that never fails: what is wrong (`trouble`, or the error itself) stands on every page of the site.

    MkDocs lets every request wait for a build that succeeds.
    """

    def build_or_say() -> None:
        try:
            build()
        except (Exception, SystemExit) as error:
            lines = [printable(line) for line in trouble()] or [printable(f"{error}" or type(error).__name__)]
            log.error(lines[0] if len(lines) == 1 else f"{len(lines)} mistakes; they stand on every page.")
            show_trouble(site, lines)

    return build_or_say


def show_trouble(site: Path, lines: list[str]) -> None:
    """Put the lines on top of every page in the folder, in the place of those that were there before."""
    if not (site / "index.html").is_file():
        site.mkdir(parents=True, exist_ok=True)
        (site / "index.html").write_text(_ALONE, encoding="utf-8")
    panel = _panel(lines)
    for path in sorted(site.rglob("*.html")):
        path.write_text(_with_panel(path.read_text(encoding="utf-8"), panel), encoding="utf-8")


def _panel(lines: list[str]) -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    head = "1 mistake: nothing was built" if len(lines) == 1 else f"{len(lines)} mistakes: nothing was built"
    return (
        f'{_BEGIN}<section class="fl-trouble" role="alert"><h1>{head}</h1><ol>{items}</ol>'
        f"<p>Below is the last good site. This page reloads when the mistakes are mended.</p></section>{_END}"
    )


def _with_panel(html: str, panel: str) -> str:
    before, begun, rest = html.partition(_BEGIN)
    html = before + rest.partition(_END)[2] if begun else html
    head, body, rest = html.partition(_BODY)
    attributes, closed, content = rest.partition(">")
    return f"{head}{body}{attributes}{closed}{panel}{content}" if body else panel + html
