"""A card's text → HTML that is safe to show.

Intake has refused everything dangerous already; the sanitiser (nh3) stands behind it.
"""

from collections.abc import Iterator
from functools import partial
from typing import Final

import nh3
from markupsafe import Markup, escape

from faultleaf.cards.text import INLINE, TAGS, Node, Text
from faultleaf.cards.urls import text_url

_HOLDERS: Final = ("blockquote", "ol", "ul", "table", "thead", "tbody", "tr")
"""Elements whose children stand each on a line of its own."""


def to_html(text: Text, folder: str, base: str) -> Markup:
    """The text as HTML for a page that reaches the site's root by `base`.

    `folder` is the folder of the card the text stands in: links are relative to it.
    """
    clean = nh3.clean(
        "\n".join(map(partial(_html, folder=folder, base=base), text)),
        tags=set(TAGS),
        attributes={"a": {"href"}, "ol": {"start"}},
        url_schemes={"http", "https", "mailto"},
        link_rel="noopener noreferrer",
    )
    return Markup(clean)


def in_boxes(text: Text, folder: str, base: str) -> Markup:
    """The same, each table in a box of its own that scrolls and that the keyboard reaches, so that no page does."""
    return Markup("\n").join(_in_its_box(node, to_html((node,), folder, base)) for node in text)


def _in_its_box(node: Node | str, html: Markup) -> Markup:
    if not isinstance(node, Node) or node.tag != "table":
        return html
    return Markup('<div class="fl-scroll" tabindex="0" role="region" aria-label="Table">{}</div>').format(html)


def _html(node: Node | str, folder: str, base: str) -> str:
    if isinstance(node, str):
        return str(escape(node))
    if node.tag in ("br", "hr"):
        return f"<{node.tag}>" + "\n" * (node.tag == "br")
    children = [_html(child, folder, base) for child in node.children]
    if node.tag in _HOLDERS:
        inside = "".join(f"\n{child}" for child in children) + "\n"
    elif node.tag == "li":
        inside = "".join(_lines_of_item(node.children, children))
    else:
        inside = "".join(children)
    attributes = f' start="{node.start}"' if node.start != 1 else ""
    if node.address:
        attributes = f' href="{escape(text_url(node.address, folder, base))}"'
    return f"<{node.tag}{attributes}>{inside}</{node.tag}>"


def _lines_of_item(nodes: Text, written: list[str]) -> Iterator[str]:
    """The parts of a list's item: what stands in lines together, a block on a line of its own."""
    for node, html in zip(nodes, written, strict=True):
        stands_alone = isinstance(node, Node) and node.tag not in INLINE and node.tag != "br"
        yield f"\n{html}\n" if stands_alone else html
