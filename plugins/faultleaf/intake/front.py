"""Bytes of an author's file → its front matter as plain text values, the line of every field, and its body.

YAML is composed to nodes, which carry their place, and every scalar stays the text that was written:
typing is the models' business. So `yes`, `on` and `24:00` cannot turn into something else on the way.
"""

import codecs
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final

import yaml

from faultleaf.cards.mistakes import Loc, Mistake, dotted, quoted
from faultleaf.intake.disk import Unreadable

LARGEST_FILE: Final = 256 * 1024
"""Bytes. A card is a page of text; more is a mistake of the clipboard."""

DEEPEST: Final = 12
_FENCE: Final = "---"
_FAST: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_INVISIBLE: Final = ("Cc", "Zl", "Zp")
"""Unicode categories that no text of ours needs; YAML would also count some of them as line ends."""


@dataclass(frozen=True)
class Parsed:
    """What a file holds: `data` of text, lists and dicts; the line of each field; the text below.

    `data` is None where the fields cannot be read at all; `mistakes` says why, and what else is odd.
    """

    path: str
    data: dict[str, Any] | None = field(default_factory=dict)
    lines: dict[Loc, int] = field(default_factory=dict)
    body: str = ""
    body_line: int = 1
    mistakes: tuple[Mistake, ...] = ()


def decode(path: str, raw: bytes) -> str:
    """The file's text with plain line ends; raises Unreadable when it is not UTF-8 or not text."""
    raw = raw.removeprefix(codecs.BOM_UTF8).replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        message = f"byte 0x{raw[error.start]:02x} is not valid UTF-8"
        raise Unreadable(Mistake(path, line, "", message, "Save the file as UTF-8.", "not-utf8")) from None
    if (at := _first_invisible(text)) is not None:
        message = f"the file holds an invisible control character (U+{ord(text[at]):04X})"
        line = text[:at].count("\n") + 1
        raise Unreadable(Mistake(path, line, "", message, "Type the line again.", "control-character"))
    return text


def parse_card(path: str, raw: bytes) -> Parsed:
    """The front matter and body of a Markdown card; raises Unreadable where there is no front matter."""
    lines = decode(path, raw).split("\n")
    if lines[0].rstrip() != _FENCE:
        hint = "A card begins with '---', then its fields, then '---' again."
        raise Unreadable(Mistake(path, 1, "", "the front matter is missing", hint, "no-front-matter"))
    end = next((i for i, line in enumerate(lines[1:], 1) if line.rstrip() == _FENCE), None)
    if end is None:
        hint = "Close it with a line '---'."
        raise Unreadable(Mistake(path, 1, "", "the front matter is not closed", hint, "no-front-matter"))
    data, reader = _parse_yaml(path, "\n".join(lines[1:end]) + "\n", first_line=2)
    body = "\n".join(lines[end + 1 :])
    return Parsed(path, data, reader.lines, body, end + 2, tuple(reader.mistakes))


def parse_yaml_file(path: str, raw: bytes) -> Parsed:
    """A whole YAML file (equipment.yml, sources.yml, callers.yml, site.yml); raises Unreadable where it is no text."""
    data, reader = _parse_yaml(path, decode(path, raw), first_line=1)
    return Parsed(path, data, reader.lines, mistakes=tuple(reader.mistakes))


def _first_invisible(text: str) -> int | None:
    if text.isascii() and all(line.isprintable() for line in text.replace("\t", "").split("\n")):
        return None  # the common case, at the speed of C
    odd = (i for i, char in enumerate(text) if char not in "\n\t" and unicodedata.category(char) in _INVISIBLE)
    return next(odd, None)


def _parse_yaml(path: str, text: str, first_line: int) -> "tuple[dict[str, Any] | None, _NodeReader]":
    reader = _NodeReader(path, text, first_line)
    try:
        root = _compose(path, text, first_line)
        if root is None:
            return {}, reader
        if not isinstance(root, yaml.MappingNode):
            line = root.start_mark.line + first_line
            hint = "Write 'field: value' lines."
            raise Unreadable(Mistake(path, line, "", "expected fields, found something else", hint, "broken-yaml"))
        return reader.read(root, ()), reader
    except Unreadable as error:
        reader.mistakes.append(error.mistake)
        return None, reader


def _compose(path: str, text: str, first_line: int) -> Any:
    try:
        try:
            return yaml.compose(text, Loader=_FAST)
        except yaml.YAMLError:
            # The fast parser words its errors differently from place to place: ask the plain one.
            yaml.compose(text, Loader=yaml.SafeLoader)
            raise  # where the plain one is content (escapes beyond Unicode), the fast one is right
    except (yaml.YAMLError, ValueError, OverflowError) as error:
        problem = getattr(error, "problem", None) or "unreadable characters"
        hint = "Quote text that holds ': ' or '#', and indent with spaces."
        mistake = Mistake(path, _mark_line(error) + first_line, "", f"broken YAML: {problem}", hint, "broken-yaml")
        raise Unreadable(mistake) from None
    except RecursionError:
        raise Unreadable(_too_deep(path, _deepest_line(text) + first_line)) from None


def _mark_line(error: Exception) -> int:
    """The line, counted from 0, to look at: where a quote or bracket was opened, else where reading stopped."""
    context = getattr(error, "context", None) or ""
    opened = context.startswith(("while scanning a quoted", "while parsing a flow"))
    mark = getattr(error, "context_mark" if opened else "problem_mark", None)
    return mark.line if mark else 0


def _deepest_line(text: str) -> int:
    """The line, counted from 0, on which the nesting passes DEEPEST; events need no recursion."""
    depth = 0
    try:
        for event in yaml.parse(text, Loader=_FAST):
            depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
            if depth > DEEPEST:
                return event.start_mark.line if event.start_mark else 0
    except yaml.YAMLError as error:  # the fast parser has a limit of its own, and looks ahead
        return _mark_line(error)
    return 0


def _too_deep(path: str, line: int) -> Mistake:
    return Mistake(path, line, "", f"fields are nested more than {DEEPEST} deep", "", "too-deep")


class _NodeReader:
    """Walks YAML nodes once, gathering text values, the line of each, and what YAML allows but we do not."""

    def __init__(self, path: str, text: str, first_line: int) -> None:
        self.path = path
        self.first_line = first_line
        self.lines: dict[Loc, int] = {}
        self.mistakes: list[Mistake] = []
        self._seen: set[int] = set()
        self._alias_lines = _alias_lines(text)

    def read(self, node: yaml.Node, loc: Loc) -> Any:
        line = node.start_mark.line + self.first_line
        if id(node) in self._seen:
            return self._read_alias(node, loc)
        self._seen.add(id(node))
        self.lines.setdefault(loc, line)
        if len(loc) > DEEPEST:
            raise Unreadable(_too_deep(self.path, line))
        if not node.tag.startswith("tag:yaml.org,2002:") or "python" in node.tag:
            self._note(line, loc, "yaml-tag", f"the tag {quoted(node.tag)} is not allowed", "Leave it out.")
        if isinstance(node, yaml.MappingNode):
            return dict(self._pairs(node, loc))
        if isinstance(node, yaml.SequenceNode):
            return [self.read(child, (*loc, index)) for index, child in enumerate(node.value)]
        return node.value

    def _pairs(self, node: yaml.MappingNode, loc: Loc) -> Iterator[tuple[str, Any]]:
        keys: dict[str, int] = {}
        for key_node, value_node in node.value:
            line = key_node.start_mark.line + self.first_line
            if not isinstance(key_node, yaml.ScalarNode):
                self._note(line, loc, "broken-yaml", "a field name must be plain text", "")
                continue
            # Folded as a line of text is, so that two spellings of one name cannot hide one another.
            key = " ".join(key_node.value.split())
            if key in keys:
                message = f"the field {quoted(key)} stands twice, first on line {keys[key]}"
                self._note(line, (*loc, key), "duplicate-field", message, "Keep one of them.")
                continue
            keys[key] = self.lines[(*loc, key)] = line
            yield key, self.read(value_node, (*loc, key))

    def _read_alias(self, node: yaml.Node, loc: Loc) -> Any:
        """An empty value of the same shape, since aliases of aliases grow without bound when read."""
        line = next(self._alias_lines, 0) + self.first_line
        self.lines.setdefault(loc, line)
        self._note(line, loc, "yaml-alias", "an alias (*name) is used", "Write the value out.")
        return {} if isinstance(node, yaml.MappingNode) else [] if isinstance(node, yaml.SequenceNode) else node.value

    def _note(self, line: int, loc: Loc, code: str, message: str, hint: str) -> None:
        self.mistakes.append(Mistake(self.path, line, dotted(loc), message, hint, code))


def _alias_lines(text: str) -> Iterator[int]:
    """The lines, counted from 0, on which aliases stand, in order: nodes only know where the anchor is."""
    for event in yaml.parse(text, Loader=_FAST):
        if isinstance(event, yaml.AliasEvent):
            yield event.start_mark.line if event.start_mark else 0
