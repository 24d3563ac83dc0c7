"""The Markdown below the front matter → sections of a frozen tree with lines, and what the text may not hold.

One parser reads every card (CommonMark, version 0.31, with tables). HTML is text to it, but for a few bare tags; what
a browser would take for markup is a mistake with its line, and the pages' sanitiser stands behind that.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from markdown_it import MarkdownIt
from markdown_it.parser_inline import ParserInline
from markdown_it.rules_inline import StateInline
from markdown_it.token import Token

from faultleaf.cards.base import Body, Section
from faultleaf.cards.mistakes import Mistake
from faultleaf.cards.text import Node, Text, words_of

HARMLESS_TAGS: Final = ("br", "kbd", "sub", "sup")
HTML_CODE: Final = "html-in-card"
MOST_LEVELS: Final = 20
"""How deep lists and quotes may stand within one another, two levels for a list."""
_NESTING: Final = ("blockquote", "ol", "ul")


def read_body(path: str, text: str, first_line: int) -> tuple[Body, list[Mistake]]:
    """The text cut at its second-level headings, and its mistakes; `first_line` is where it begins in its file."""
    env: dict[str, Any] = {}
    tokens = _parser().parse(text, env)
    builder = _Builder(first_line, {name: one["map"][0] for name, one in env.get("references", {}).items()})
    builder.take(tokens)
    mistakes = [
        Mistake(path, first_line + line, "body", f"HTML is not allowed here: {what}", _HTML_HINT, HTML_CODE)
        for line, what in _markup(tokens)
    ]
    if deep := next((token for token in tokens if token.tag in _NESTING and token.level >= MOST_LEVELS), None):
        message, hint = "the text is nested too deep", "Write fewer lists and quotes inside one another."
        mistakes.append(Mistake(path, first_line + (deep.map or [0])[0], "body", message, hint, "too-deep"))
    return Body(tuple(_sections(builder.close(), first_line))), mistakes


def _sections(text: Text, first_line: int) -> Iterator[Section]:
    title, line, part = "", first_line, list[Node | str]()
    for node in text:
        if isinstance(node, Node) and node.tag == "h2":
            if title or part:
                yield Section(title, tuple(part), line)
            title, line, part = words_of(node.children), node.line, []
        else:
            part.append(node)
    if title or part:
        yield Section(title, tuple(part), line)


def _parser() -> MarkdownIt:
    parser = MarkdownIt("commonmark", {"html": False, "maxNesting": MOST_LEVELS + 4, "store_labels": True})
    parser.enable("table")
    # Dashes below a line are a rule across the page, never a heading; escapes stay apart from the text that they join.
    parser.disable(["lheading", "html_block", "html_inline", "text_join"])
    parser.inline = _Inline()
    parser.inline.ruler.disable("html_inline")
    parser.inline.ruler.after("autolink", "harmless", _harmless)
    # Links are judged with their lines, so that none gets lost as plain text.
    parser.validateLink = lambda url: True  # type: ignore[method-assign]  # noqa: ARG005
    parser.normalizeLink = lambda url: url  # type: ignore[method-assign]
    return parser


class _Inline(ParserInline):
    """Tells every piece of a paragraph the line of the paragraph that it stands on."""

    def parse(self, src: str, md: MarkdownIt, env: Any, tokens: list[Token]) -> list[Token]:
        state = _State(src, md, env, tokens)
        self.tokenize(state)
        for rule in self.ruler2.getRules(""):
            rule(state)
        return state.tokens


class _State(StateInline):
    """The library's state, which counts the lines that it has passed."""

    _passed, _lines = 0, 0

    def push(self, ttype: str, tag: str, nesting: Any) -> Token:
        """A new piece, with its line."""
        return self._placed(super().push(ttype, tag, nesting))

    def pushPending(self) -> Token:  # noqa: N802 - the library's name
        """The text gathered so far, with its line."""
        return self._placed(super().pushPending())

    def _placed(self, token: Token) -> Token:
        if self.pos > self._passed:
            self._lines += self.src.count("\n", self._passed, self.pos)
            self._passed = self.pos
        token.meta["line"] = self._lines
        return token


def _harmless(state: StateInline, silent: bool) -> bool:
    """The rule for the bare tags that may stand in a card."""
    end = state.src.find(">", state.pos, state.pos + 8) if state.src[state.pos] == "<" else -1
    inside = state.src[state.pos + 1 : max(end, state.pos)].lower()
    name = inside.strip("/ ")
    if name not in HARMLESS_TAGS or inside.startswith(" "):
        return False
    if not silent:
        # Pushed as a leaf: these need not come in pairs, and the builder closes what is left open.
        kind = "hardbreak" if name == "br" else "tag_end" if inside.startswith("/") else "tag_begin"
        state.push(kind, name, 0)
    state.pos = end + 1
    return True


@dataclass
class _Open:
    """An element whose end has not come yet."""

    tag: str
    children: list[Node | str]
    line: int
    address: str = ""
    start: int = 1


class _Builder:
    """Tokens one after another → a tree; what is closed in the wrong order is closed with what holds it."""

    def __init__(self, first_line: int, references: dict[str, int]) -> None:
        self._references = references
        self._first = first_line
        self._open = [_Open("", [], first_line)]

    def take(self, tokens: Sequence[Token], line: int = 0) -> None:
        """Add these tokens; `line` counts from the text's first, for those that do not know their own."""
        for token in tokens:
            line = token.map[0] if token.map else line
            if token.hidden:  # a paragraph that an item of a list is told in
                continue
            at = line + token.meta.get("line", 0)
            if token.type == "inline":
                self.take(token.children or (), line)
            elif token.nesting > 0 or token.type == "tag_begin":
                self._begin(token, at)
            elif token.nesting < 0 or token.type == "tag_end":
                self._end(token.tag)
            else:
                self._put(_leaf(token, self._first + at))

    def close(self) -> Text:
        """The tree; whatever is open ends."""
        while len(self._open) > 1:
            self._end(self._open[-1].tag)
        return _joined(self._open[0].children)

    def _begin(self, token: Token, at: int) -> None:
        at = self._references.get(token.meta.get("label", ""), at)
        start = int(token.attrs.get("start", 1)) if token.tag == "ol" else 1
        self._open.append(_Open(token.tag, [], self._first + at, str(token.attrs.get("href", "")), start))

    def _end(self, tag: str) -> None:
        if all(one.tag != tag for one in self._open[1:]):
            return
        while True:
            done = self._open.pop()
            self._put(Node(done.tag, _joined(done.children), done.line, done.address, done.start))
            if done.tag == tag:
                return

    def _put(self, node: Node | str) -> None:
        self._open[-1].children.append(node)


def _joined(children: Iterable[Node | str]) -> Text:
    """The children with letters that follow one another as one text."""
    joined: list[Node | str] = []
    for is_text, group in groupby(children, key=lambda child: isinstance(child, str)):
        found = list(group)
        joined += ["".join(map(str, found))] if is_text else found
    return tuple(node for node in joined if node != "")


def _leaf(token: Token, line: int) -> Node | str:
    if token.type in ("fence", "code_block"):
        return Node("pre", (Node("code", (token.content,), line),), line)
    if token.type == "code_inline":
        return Node("code", (token.content,), line)
    if token.type == "image":
        return Node("img", (), line, str(token.attrs.get("src", "")))
    if token.type == "softbreak":
        return "\n"
    return Node(token.tag, (), line) if token.tag else token.content


_HTML_HINT: Final = f"Use Markdown; only {', '.join(f'<{tag}>' for tag in HARMLESS_TAGS)} are allowed, bare."


def _markup(tokens: Sequence[Token]) -> Iterator[tuple[int, str]]:
    """The line and the name of everything in the text that a browser would take for markup, were it not escaped."""
    line = 0
    for token in tokens:
        line = token.map[0] if token.map else line
        if token.type == "inline":
            found = list(_tags("".join(_live(token.children or ()))))
            opened = {what for _, what in found}
            for below, what in dict.fromkeys(found):
                if not (what.startswith("</") and what.replace("/", "") in opened):
                    yield line + below, what


def _live(tokens: Iterable[Token]) -> Iterator[str]:
    """The tokens' own text; what is code, escaped or harmless counts as a blank, with its lines kept."""
    line = 0
    for token in tokens:
        yield "\n" * (token.meta["line"] - line)
        line = token.meta["line"]
        yield token.content if token.type == "text" else " "


def _tags(live: str) -> Iterator[tuple[int, str]]:
    """The line on which a browser would begin a tag (`<` before a letter, `/`, `!` or `?`), and what it is."""
    line, before, at, end = 0, 0, live.find("<"), 0
    while at >= 0:
        line, before = line + live.count("\n", before, at), at
        end = live.find(">", at) if -1 < end <= at else end
        if what := _tag_name(live[at + 1 : end if end >= 0 else at + 60], closed=end >= 0):
            yield line, what
        at = live.find("<", at + 1)


def _tag_name(inside: str, closed: bool) -> str:
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
    if tag in HARMLESS_TAGS and len(words) > 1:
        return f"<{tag} {words[1].replace('=', ' ').split()[0]}=…>"
    return f"</{tag}>" if inside.startswith("/") else f"<{tag}>"
