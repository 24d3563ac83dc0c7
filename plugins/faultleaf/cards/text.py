"""A card's text as a frozen tree, made once by intake; pages, sheets, search, the call and the checks read it.

Its tags are those of HTML that Markdown can make, and no text in it is ever read as markup again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

TAGS: Final = frozenset((
    "a", "blockquote", "br", "code", "em", "h3", "h4", "h5", "h6", "hr", "kbd", "li", "ol", "p", "pre", "strong",
    "sub", "sup", "table", "tbody", "td", "th", "thead", "tr", "ul",
))  # fmt: skip
"""The tags that pages show; assets/js/call-view/dom.js holds the same list."""
INLINE: Final = frozenset(("a", "code", "em", "kbd", "strong", "sub", "sup"))
"""Tags that stand within a line."""


@dataclass(frozen=True, slots=True)
class Node:
    """An element: its tag, what is in it, and the line of the author's file on which it begins.

    `address` is where a link leads, as the card writes it; `start` the number of a list's first item.
    """

    tag: str
    children: Text = ()
    line: int = 0
    address: str = ""
    start: int = 1


Text = tuple[Node | str, ...]


def every(text: Text, *tags: str) -> Iterator[Node]:
    """The elements with one of these tags, in the order of reading."""
    for node in text:
        if isinstance(node, Node):
            if node.tag in tags:
                yield node
            yield from every(node.children, *tags)


def words_of(text: Text) -> str:
    """The text without its marks in one line; what stands in different blocks or lines is kept apart.

    >>> words_of((Node("p", ("Shut the ", Node("strong", ("upper",)), " cock.")), Node("p", ("Wait.",))))
    'Shut the upper cock. Wait.'
    """
    return " ".join("".join(_pieces(text)).split())


def _pieces(text: Iterable[Node | str]) -> Iterator[str]:
    for node in text:
        if isinstance(node, str):
            yield node
        elif node.tag in INLINE:
            yield from _pieces(node.children)
        else:
            yield " "
            yield from _pieces(node.children)
            yield " "
