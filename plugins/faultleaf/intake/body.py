"""The Markdown below the front matter: cut into sections, and checked for HTML and links.

What a card may not hold is found here, in the author's own text, so that the mistake has a line. The
pages' sanitiser stands behind it and never has anything to do.
"""

import posixpath
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from typing import Final
from urllib.parse import unquote, urlsplit

import markdown

from faultleaf.cards.mistakes import Mistake, did_you_mean
from faultleaf.cards.models import Body, Section

HARMLESS_TAGS: Final = ("br", "kbd", "sub", "sup")
MARKDOWN_EXTENSIONS: Final = ("tables", "sane_lists")
LINK_SCHEMES: Final = ("http", "https", "mailto")


@dataclass(frozen=True)
class Link:
    """A link in a body: its address as written, its line, and whether it is a picture."""

    address: str
    line: int
    is_picture: bool


def split_sections(text: str, first_line: int) -> Body:
    """The body cut at its second-level headings; code blocks are left alone."""
    sections: list[Section] = []
    title, start, lines = "", first_line, list[str]()
    for number, line, in_code in _lines(text, first_line):
        if line.startswith("## ") and not in_code:
            sections.append(Section(title, "\n".join(lines).strip("\n"), start))
            title, start, lines = line[3:].strip(), number, []
        else:
            lines.append(line)
    sections.append(Section(title, "\n".join(lines).strip("\n"), start))
    return Body(tuple(part for part in sections if part.title or part.text.strip()))


def html_mistakes(path: str, text: str, first_line: int) -> list[Mistake]:
    """A mistake for every tag, attribute or declaration outside the short list of harmless ones."""
    finder = _TagFinder()
    finder.feed("\n".join(_without_code(text, first_line)))
    finder.close()
    hint = f"Use Markdown; only {', '.join(f'<{tag}>' for tag in HARMLESS_TAGS)} are allowed, bare."
    return [
        Mistake(path, line + first_line - 1, "body", f"HTML is not allowed here: {what}", hint, "html-in-card")
        for line, what in finder.found
    ]


def find_links(text: str, first_line: int) -> list[Link]:
    """Every link and picture that Markdown would make of the body, in order."""
    if "](" not in text and "]:" not in text and "<" not in text:
        return []
    finder = _LinkFinder()
    finder.feed(markdown.markdown(text, extensions=list(MARKDOWN_EXTENSIONS)))
    return [
        Link(address, first_line + text[: max(0, text.find(address))].count("\n"), is_picture)
        for address, is_picture in finder.found
    ]


def link_mistake(path: str, folder: str, link: Link, known: frozenset[str]) -> Mistake | None:
    """What is wrong with a link of a card in `folder`; `known` are the files links may lead to."""

    def mistake(code: str, message: str, hint: str) -> Mistake:
        return Mistake(path, link.line, "body", message, hint, code)

    if link.is_picture:
        hint = "Make it a card in pictures/ and name it in the component's 'pictures'."
        return mistake("picture-in-text", f"the picture '{link.address}' stands in the text", hint)
    parts = urlsplit(link.address)
    if parts.scheme:
        if parts.scheme.lower() in LINK_SCHEMES:
            return None
        return mistake("link-scheme", f"links with '{parts.scheme}:' are not allowed", "Use http or https.")
    if parts.netloc or link.address.startswith(("/", "\\")):
        return mistake("path-outside", f"the link '{link.address}' leads outside the content folder", "")
    target = posixpath.normpath(posixpath.join(folder, unquote(parts.path))) if parts.path else ""
    if target.startswith(".."):
        return mistake("path-outside", f"the link '{link.address}' leads outside the content folder", "")
    if target and target not in known:
        near = did_you_mean(target, known, f"Link to a card's file, as in '../tests/ID.md' from '{folder}/'.")
        return mistake("dead-link", f"the link '{link.address}' leads to no card", near)
    return None


def _lines(text: str, first_line: int) -> Iterator[tuple[int, str, bool]]:
    fence = ""
    for number, line in enumerate(text.split("\n"), first_line):
        mark = line.lstrip()[:3]
        if fence:
            yield number, line, True
            fence = "" if mark == fence else fence
        elif mark in ("```", "~~~"):
            fence = mark
            yield number, line, True
        else:
            yield number, line, False


def _without_code(text: str, first_line: int) -> Iterator[str]:
    """The lines with code blanked out, since code may show any character."""
    for _, line, in_code in _lines(text, first_line):
        if in_code:
            yield ""
        else:
            pieces = line.split("`")
            # An odd number of pieces means every back-tick has its partner.
            yield "".join(pieces[::2]) if len(pieces) % 2 else line


class _TagFinder(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[tuple[int, str]] = []

    def _note(self, what: str) -> None:
        self.found.append((self.getpos()[0], what))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in HARMLESS_TAGS:
            self._note(f"<{tag}>")
        elif attrs:
            self._note(f"<{tag} {attrs[0][0]}=…>")

    def handle_endtag(self, tag: str) -> None:
        if tag not in HARMLESS_TAGS:
            self._note(f"</{tag}>")

    def handle_comment(self, data: str) -> None:  # noqa: ARG002
        self._note("a comment")

    def handle_decl(self, decl: str) -> None:  # noqa: ARG002
        self._note("a declaration")

    def unknown_decl(self, data: str) -> None:  # noqa: ARG002
        self._note("a declaration")

    def handle_pi(self, data: str) -> None:  # noqa: ARG002
        self._note("a processing instruction")


class _LinkFinder(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, bool]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if (tag, name) in (("a", "href"), ("img", "src")) and value is not None:
                self.found.append((value, tag == "img"))
