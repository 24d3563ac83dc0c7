"""Markdown of a card's body → HTML that is safe to show.

Intake has refused everything dangerous already; the sanitiser (nh3) stands behind it.
"""

import posixpath
from urllib.parse import urlsplit
from xml.etree.ElementTree import Element

import nh3
from markdown import Markdown
from markdown.extensions import Extension
from markdown.treeprocessors import Treeprocessor
from markupsafe import Markup

from faultleaf.cards import CARD_TYPES
from faultleaf.cards.urls import CAUTIONS_PAGE, TERMS_PAGE
from faultleaf.intake.body import MARKDOWN_EXTENSIONS

ALLOWED_TAGS = {
    "a", "blockquote", "br", "code", "em", "h3", "h4", "h5", "h6", "hr", "kbd", "li", "ol", "p", "pre", "strong",
    "sub", "sup", "table", "tbody", "td", "th", "thead", "tr", "ul",
}  # fmt: skip
_SHARED_PAGES = {"cautions": CAUTIONS_PAGE, "terms": TERMS_PAGE}
_CARD_FOLDERS = {card_type.folder for card_type in CARD_TYPES}


def to_html(text: str, folder: str, base: str) -> Markup:
    """The Markdown as HTML for a page that reaches the site's root by `base`.

    `folder` is the folder of the card the text stands in: links are relative to it.
    """
    converter = Markdown(extensions=[*MARKDOWN_EXTENSIONS, _CardLinks(folder, base)])
    clean = nh3.clean(
        converter.convert(text),
        tags=ALLOWED_TAGS,
        attributes={"a": {"href"}, "ol": {"start"}},
        url_schemes={"http", "https", "mailto"},
        link_rel="noopener noreferrer",
    )
    return Markup(clean)


class _CardLinks(Extension):
    """Turns links to cards' files into links to their pages."""

    def __init__(self, folder: str, base: str) -> None:
        super().__init__()
        self.folder, self.base = folder, base

    def extendMarkdown(self, md: Markdown) -> None:  # noqa: N802 - the library's name
        md.treeprocessors.register(_LinkWalker(md, self.folder, self.base), "faultleaf-links", 5)


class _LinkWalker(Treeprocessor):
    def __init__(self, md: Markdown, folder: str, base: str) -> None:
        super().__init__(md)
        self.folder, self.base = folder, base

    def run(self, root: Element) -> None:
        for anchor in root.iter("a"):
            parts = urlsplit(anchor.get("href", ""))
            if not parts.scheme and parts.path.endswith(".md"):
                target = posixpath.normpath(posixpath.join(self.folder, parts.path))
                anchor.set("href", self.base + _page_of(target, parts.fragment))


def _page_of(file: str, fragment: str) -> str:
    folder, _, name = file.rpartition("/")
    stem = name.removesuffix(".md")
    # Cards may lie in folders within their kind's folder; their pages do not.
    kind = folder.split("/", maxsplit=1)[0]
    if kind in _SHARED_PAGES:
        return f"{_SHARED_PAGES[kind]}#{stem}"
    page = f"{kind}/{stem}.html" if kind in _CARD_FOLDERS else f"{file.removesuffix('.md')}.html"
    return f"{page}#{fragment}" if fragment else page
