"""Bytes of an author's file → its front matter as plain text values, the line of every field, and its body.

YAML is composed to nodes, which carry their place, and every scalar stays the text that was written:
typing is the models' business. So `yes`, `on` and `24:00` cannot turn into something else on the way.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final

import yaml

from faultleaf.cards.mistakes import Loc, Mistake

LARGEST_FILE: Final = 256 * 1024
"""Bytes. A card is a page of text; more is a mistake of the clipboard."""

DEEPEST: Final = 12
_FENCE: Final = "---"
_FAST: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Parsed:
    """What a file holds: `data` of text, lists and dicts; the line of each field; the text below."""

    path: str
    data: dict[str, Any] = field(default_factory=dict)
    lines: dict[Loc, int] = field(default_factory=dict)
    body: str = ""
    body_line: int = 1


class Unreadable(Exception):
    """The file cannot be taken in; carries the mistake that says why."""

    def __init__(self, mistake: Mistake) -> None:
        super().__init__(str(mistake))
        self.mistake = mistake


def decode(path: str, raw: bytes) -> str:
    """The file's text with plain line ends; raises Unreadable when too large or not UTF-8."""
    if len(raw) > LARGEST_FILE:
        message = f"the file has {len(raw):,} bytes, more than {LARGEST_FILE:,}"
        raise Unreadable(Mistake(path, 1, "", message, "Cut it into several cards.", "file-too-large"))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        message = f"byte 0x{raw[error.start]:02x} is not valid UTF-8"
        raise Unreadable(Mistake(path, line, "", message, "Save the file as UTF-8.", "not-utf8")) from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def parse_card(path: str, raw: bytes) -> Parsed:
    """The front matter and body of a Markdown card; raises Unreadable."""
    lines = decode(path, raw).split("\n")
    if lines[0].rstrip() != _FENCE:
        hint = "A card begins with '---', then its fields, then '---' again."
        raise Unreadable(Mistake(path, 1, "", "the front matter is missing", hint, "no-front-matter"))
    end = next((i for i, line in enumerate(lines[1:], 1) if line.rstrip() == _FENCE), None)
    if end is None:
        hint = "Close it with a line '---'."
        raise Unreadable(Mistake(path, 1, "", "the front matter is not closed", hint, "no-front-matter"))
    data, places = _parse_yaml(path, "\n".join(lines[1:end]) + "\n", first_line=2)
    return Parsed(path, data, places, "\n".join(lines[end + 1 :]), end + 2)


def parse_yaml_file(path: str, raw: bytes) -> Parsed:
    """A whole YAML file (equipment.yml, sources.yml, site.yml); raises Unreadable."""
    data, places = _parse_yaml(path, decode(path, raw), first_line=1)
    return Parsed(path, data, places)


def _parse_yaml(path: str, text: str, first_line: int) -> tuple[dict[str, Any], dict[Loc, int]]:
    root = _compose(path, text, first_line)
    if root is None:
        return {}, {}
    if not isinstance(root, yaml.MappingNode):
        line = root.start_mark.line + first_line
        hint = "Write 'field: value' lines."
        raise Unreadable(Mistake(path, line, "", "expected fields, found something else", hint, "broken-yaml"))
    reader = _NodeReader(path, first_line)
    data = reader.read(root, ())
    return data, reader.lines


def _compose(path: str, text: str, first_line: int) -> Any:
    try:
        try:
            return yaml.compose(text, Loader=_FAST)
        except yaml.YAMLError:
            # The fast parser words its errors differently from place to place: ask the plain one.
            return yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        line = (mark.line if mark else 0) + first_line
        problem = getattr(error, "problem", None) or "unreadable characters"
        hint = "Quote text that holds ': ' or '#', and indent with spaces."
        raise Unreadable(Mistake(path, line, "", f"broken YAML: {problem}", hint, "broken-yaml")) from None
    except RecursionError:
        raise Unreadable(_too_deep(path, first_line)) from None


def _too_deep(path: str, line: int) -> Mistake:
    return Mistake(path, line, "", f"fields are nested more than {DEEPEST} deep", "", "too-deep")


class _NodeReader:
    """Walks YAML nodes once, gathering text values and the line of each."""

    def __init__(self, path: str, first_line: int) -> None:
        self.path = path
        self.first_line = first_line
        self.lines: dict[Loc, int] = {}
        self._seen: set[int] = set()

    def read(self, node: yaml.Node, loc: Loc) -> Any:
        line = node.start_mark.line + self.first_line
        self.lines.setdefault(loc, line)
        if len(loc) > DEEPEST:
            raise Unreadable(_too_deep(self.path, line))
        if id(node) in self._seen:
            self._refuse(line, loc, "yaml-alias", "an alias (*name) is used", "Write the value out.")
        self._seen.add(id(node))
        if not node.tag.startswith("tag:yaml.org,2002:") or "python" in node.tag:
            self._refuse(line, loc, "yaml-tag", f"the tag '{node.tag}' is not allowed", "Leave it out.")
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
                self._refuse(line, loc, "broken-yaml", "a field name must be plain text", "")
            key = key_node.value
            if key in keys:
                message = f"the field '{key}' stands twice, first on line {keys[key]}"
                self._refuse(line, (*loc, key), "duplicate-field", message, "Keep one of them.")
            keys[key] = line
            self.lines[(*loc, key)] = line
            yield key, self.read(value_node, (*loc, key))

    def _refuse(self, line: int, loc: Loc, code: str, message: str, hint: str) -> None:
        dotted = ".".join(str(part) for part in loc)
        raise Unreadable(Mistake(self.path, line, dotted, message, hint, code))
