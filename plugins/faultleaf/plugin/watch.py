"""Looks at a finished page for what it must not lack."""

from html.parser import HTMLParser


def notice_is_shown(html: str, notice: str) -> bool:
    """Whether the page shows the local-code notice with its full text."""
    finder = _NoticeFinder()
    finder.feed(html)
    return any(" ".join(notice.split()) in " ".join(text.split()) for text in finder.notices)


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
