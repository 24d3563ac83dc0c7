"""The Markdown below the front matter: cut into sections, and checked for HTML and links.

What a card may not hold is found here, in the author's own text, so that the mistake has a line. The
pages' sanitiser stands behind it and never has anything to do.
"""

import html
import posixpath
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html.parser import HTMLParser
from typing import Final
from urllib.parse import SplitResult, unquote, urlsplit

import markdown

from faultleaf.cards.mistakes import Mistake, did_you_mean, quoted
from faultleaf.cards.models import Body, Section

HARMLESS_TAGS: Final = ("br", "kbd", "sub", "sup")
MARKDOWN_EXTENSIONS: Final = ("tables", "sane_lists", "fenced_code")
HTML_CODE: Final = "html-in-card"
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
    """A mistake for every tag, attribute or declaration outside the short list of harmless ones.

    Found by a scan that knows only where a browser would begin a tag: `<` before a letter, `/`, `!` or `?`.
    """
    live = "\n".join(_without_code(text))
    hint = f"Use Markdown; only {', '.join(f'<{tag}>' for tag in HARMLESS_TAGS)} are allowed, bare."
    found = list(_tags(live))
    opened = {what for _, what in found}
    return [
        Mistake(path, first_line + live[:at].count("\n"), "body", f"HTML is not allowed here: {what}", hint, HTML_CODE)
        for at, what in found
        if not (what.startswith("</") and what.replace("/", "") in opened)
    ]


def _tags(live: str) -> Iterator[tuple[int, str]]:
    """Where something stands that a browser would take for markup, and what it is; harmless tags left out."""
    at = live.find("<")
    while at >= 0:
        end = live.find(">", at)
        inside = live[at + 1 : end if end >= 0 else len(live)]
        if what := _tag_mistake(inside, closed=end >= 0):
            yield at, what
        at = live.find("<", at + 1)


def _tag_mistake(inside: str, closed: bool) -> str:
    kinds = {"!--": "a comment", "!": "a declaration", "?": "a processing instruction"}
    if special := next((what for mark, what in kinds.items() if inside.startswith(mark)), ""):
        return special
    name = inside.removeprefix("/")
    if not (name[:1].isascii() and name[:1].isalpha()):
        return "a closing tag without a name" if inside.startswith("/") else ""
    words = name.replace("/", " ").split(maxsplit=1)
    tag = words[0].lower()[:40]
    if not closed:
        return f"<{tag}, which is never closed"
    if not inside.startswith("/") and _is_autolink(name):
        return ""  # its scheme is judged with the other links
    if tag not in HARMLESS_TAGS:
        return f"</{tag}>" if inside.startswith("/") else f"<{tag}>"
    attributes = words[1].replace("=", " ").split() if len(words) > 1 else []
    return f"<{tag} {attributes[0]}=…>" if attributes else ""


def _is_autolink(inside: str) -> bool:
    """Whether Markdown makes a link of <inside>: a web address, or one for mail; no blanks, so no attributes."""
    if any(char.isspace() or char in "<\"'" for char in inside):
        return False
    return inside.lower().startswith(("http://", "https://")) or ("@" in inside and "/" not in inside)


def find_links(text: str, first_line: int) -> list[Link]:
    """Every link and picture that Markdown would make of the body, in order; raises RecursionError.

    Markdown forgets lines, so each address is looked up again in the text, in the order of its uses.
    """
    if "](" not in text and "]:" not in text and "<" not in text:
        return []
    finder = _LinkFinder()
    reader = markdown.Markdown(extensions=list(MARKDOWN_EXTENSIONS))
    reader.preprocessors.deregister("html_block")  # tags are text here: `html_mistakes` deals with them
    reader.inlinePatterns.deregister("html")
    finder.feed(reader.convert(text))
    places = _places(text, first_line, {address for address, _ in finder.found})
    return [
        Link(address, places[address].pop(0) if len(places[address]) > 1 else places[address][0], is_picture)
        for address, is_picture in finder.found
    ]


def _places(text: str, first_line: int, addresses: set[str]) -> dict[str, list[int]]:
    """The lines on which each address is written, once for each use, code left out; else the first line."""
    lines = [html.unescape(line) for line in _without_code(text)]
    return {
        address: [n for n, line in enumerate(lines, first_line) for _ in range(_uses(line, address))] or [first_line]
        for address in sorted(addresses)
    }


def _uses(line: str, address: str) -> int:
    """How often the line writes the address as a link does: after `](`, `]: ` or `<`."""
    return sum(line.count(before + address) for before in ("](", "](<", "]: ", "<")) if address in line else 0


def link_mistake(
    path: str, folder: str, link: Link, known: frozenset[str], renamed: Mapping[str, str] | None = None
) -> Mistake | None:
    """What is wrong with a link of a card in `folder`.

    `known` are the files links may lead to, `renamed` those that have another name today.
    """

    def mistake(code: str, message: str, hint: str) -> Mistake:
        return Mistake(path, link.line, "body", message, hint, code)

    address = quoted(link.address)
    if link.is_picture:
        hint = "Make it a card in pictures/ and name it in the component's 'pictures'."
        return mistake("picture-in-text", f"the picture {address} stands in the text", hint)
    parts = _split(link.address)
    if parts is None:
        return mistake("bad-link", f"{address} is not a web address", "")
    if parts.scheme:
        if parts.scheme.lower() in LINK_SCHEMES:
            return None
        return mistake("link-scheme", f"links with '{parts.scheme}:' are not allowed", "Use http or https.")
    target = posixpath.normpath(posixpath.join(folder, unquote(parts.path))) if parts.path else ""
    if parts.netloc or link.address.startswith(("/", "\\")) or target.startswith(".."):
        return mistake("path-outside", f"the link {address} leads outside the content folder", "")
    if target and target not in known:
        today = (renamed or {}).get(target)
        general = f"Link to a card's file, as in '../tests/ID.md' from '{folder}/'."
        near = (
            f"It is called '{today}' now."
            if today
            else did_you_mean(
                posixpath.relpath(target, folder), {posixpath.relpath(name, folder) for name in known}, general
            )
        )
        return mistake("dead-link", f"the link {address} leads to no card", near)
    return None


def _split(address: str) -> SplitResult | None:
    try:
        return urlsplit(address)
    except ValueError:  # a bracket that closes no IPv6 address, and the like
        return None


def _lines(text: str, first_line: int) -> Iterator[tuple[int, str, bool]]:
    """Number, text and whether it is fenced code, for every line."""
    lines = text.split("\n")
    code: set[int] = set()
    for start, line in enumerate(lines):
        if start not in code and (fence := _fence(line)):
            end = _fence_end(lines, start, fence)
            if end == start:
                break  # renderers differ from here on, and so do the fences that they would pair below
            code.update(range(start, end))
    for index, line in enumerate(lines):
        yield first_line + index, line, index in code


def _fence(line: str) -> str:
    """The run of marks that opens fenced code on this line, or "" where not every renderer would open it."""
    run = line[: len(line) - len(line.lstrip(line[:1]))] if line[:1] in ("`", "~") else ""
    name = line[len(run) :].strip(" ")
    return run if len(run) >= 3 and all(char.isalnum() or char in "_#.+-" for char in name) else ""


def _fence_end(lines: list[str], start: int, fence: str) -> int:
    """The line after the closing fence, or `start` where it is not closed in a way that all renderers know.

    Unclosed, it is no code: what follows may reach a page as it stands.
    """
    for index, line in enumerate(lines[start + 1 :], start + 1):
        mark = line.strip()
        if len(mark) >= len(fence) and not mark.strip(fence[0]):
            return index + 1 if line.rstrip(" ") == fence else start
    return start


def _without_code(text: str) -> Iterator[str]:
    """The lines with code blanked out, since code may show any character.

    Where renderers might disagree on what is code (an escaped or unpaired back-tick), nothing is blanked
    until the paragraph ends: better to stop an author than to let markup through.
    """
    doubtful = False
    for _, line, in_code in _lines(text, 0):
        doubtful = doubtful and bool(line.strip()) and not in_code
        if in_code:
            yield ""
            continue
        blanked = None if doubtful else _blank_code_spans(line)
        doubtful = blanked is None
        yield line if blanked is None else blanked


def _blank_code_spans(line: str) -> str | None:
    """The line without its code spans, or None where one is escaped or lacks its partner."""
    if "\\`" in line:
        return None
    kept, at = "", 0
    while (start := line.find("`", at)) >= 0:
        width = len(line[start:]) - len(line[start:].lstrip("`"))
        end = _same_run(line, start + width, width)
        if end is None:
            return None
        # A space, so that the text on both sides cannot grow together into a tag.
        kept, at = f"{kept}{line[at:start]} ", end
    return kept + line[at:]


def _same_run(line: str, at: int, width: int) -> int | None:
    """The end of the next run of exactly `width` back-ticks, or None."""
    while (start := line.find("`", at)) >= 0:
        at = start + len(line[start:]) - len(line[start:].lstrip("`"))
        if at - start == width:
            return at
    return None


class _LinkFinder(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, bool]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if (tag, name) in (("a", "href"), ("img", "src")) and value is not None:
                self.found.append((value, tag == "img"))
