"""Safe HTML → nested lists that the browser builds elements from, so that no text is ever read as markup.

An element is [tag, child, child …]; a link is ["a", address, child …]; a child is a text or an element.
Only tags of a short list come through; of any other the children alone are kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from html.parser import HTMLParser
from typing import Final

Node = str | list["Node"]

TAGS: Final = frozenset((
    "a", "blockquote", "br", "code", "em", "h3", "h4", "h5", "h6", "hr", "kbd", "li", "ol", "p", "pre", "strong",
    "sub", "sup", "table", "tbody", "td", "th", "thead", "tr", "ul",
))  # fmt: skip
"""The tags that the page builds; assets/js/call-view/dom.js holds the same list."""
_VOID: Final = ("br", "hr")
_BLOCKS: Final = frozenset(("ol", "ul", "table", "thead", "tbody", "tr", "blockquote"))


def tree_of(html: str) -> list[Node]:
    """The children of the text's root.

    >>> tree_of("<ol><li>Shut the <strong>upper</strong> cock.</li></ol>")
    [['ol', ['li', 'Shut the ', ['strong', 'upper'], ' cock.']]]
    """
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.root


class _Reader(HTMLParser):
    """Keeps the way from the root to the element that is open."""

    def __init__(self) -> None:
        super().__init__()
        self.root: list[Node] = []
        self._open: list[tuple[str, list[Node]]] = [("", self.root)]

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        if tag not in TAGS:
            return
        made: list[Node] = [tag]
        if tag == "a":
            made.append(dict(attrs).get("href") or "")
        self._open[-1][1].append(made)
        if tag not in _VOID:
            self._open.append((tag, made))

    def handle_endtag(self, tag: str) -> None:
        if any(tag == name for name, _ in self._open[1:]):
            while self._open.pop()[0] != tag:
                pass

    def handle_data(self, data: str) -> None:
        name, children = self._open[-1]
        # White space between blocks is the writer's, not the text's.
        if data.strip() or not (name in _BLOCKS or name == ""):
            children.append(data)
