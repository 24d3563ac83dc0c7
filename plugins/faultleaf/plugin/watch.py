"""Looks at a finished page for what it must not lack."""

from collections.abc import Iterable
from html.parser import HTMLParser
from typing import Final

ACTIVE_TAGS: Final = ("script", "base", "meta", "link", "iframe", "object", "embed")


def notices_are_shown(html: str, notices: Iterable[str]) -> bool:
    """Whether the page shows every one of these local-code notices with its full text."""
    finder = _NoticeFinder()
    finder.feed(html)
    shown = [" ".join(text.split()) for text in finder.notices]
    return all(any(" ".join(notice.split()) in text for text in shown) for notice in notices)


def active_tag(html: str) -> str:
    """The first tag of a page of prose that would run something or lead elsewhere; "" where there is none."""
    finder = _ActiveFinder()
    finder.feed(html)
    return finder.found


class _ActiveFinder(HTMLParser):
    """Looks for tags that no prose needs."""

    def __init__(self) -> None:
        super().__init__()
        self.found = ""

    def handle_starttag(self, tag: str, _: list[tuple[str, str | None]]) -> None:
        if tag in ACTIVE_TAGS and not self.found:
            self.found = tag


class _NoticeFinder(HTMLParser):
    """Gathers the text of elements marked as the notice."""

    def __init__(self) -> None:
        super().__init__()
        self.notices: list[str] = []
        self._tag = ""
        self._depth = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if self._depth:
            self._depth += tag == self._tag
        elif ("data-faultleaf", "notice") in attrs:
            self._tag, self._depth = tag, 1
            self.notices.append("")

    def handle_endtag(self, tag: str) -> None:
        if self._depth and tag == self._tag:
            self._depth -= 1

    def handle_data(self, data: str) -> None:
        if self._depth:
            self.notices[-1] += data
