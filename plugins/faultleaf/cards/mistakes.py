"""What is wrong with an author's file, as data: one shape for every mistake and warning."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Literal

Severity = Literal["mistake", "warning"]
Loc = tuple[str | int, ...]

LONGEST_QUOTE = 80
"""Characters of an author's text that a message repeats."""


@dataclass(frozen=True, order=True)
class Mistake:
    """One thing to mend, with the place where it stands.

    `code` is stable (it has an entry in DEVELOPERS.md); `line` counts from 1; `field` is the dotted
    path in the front matter, or "body", or "" for the whole file.
    """

    path: str
    line: int
    field: str
    message: str
    hint: str = ""
    code: str = ""
    severity: Severity = "mistake"

    def __str__(self) -> str:
        """`path:line: field: what is wrong. Hint. [code]`."""
        field_part = f"{self.field}: " if self.field else ""
        hint = f" {self.hint}" if self.hint else ""
        word = "warning: " if self.severity == "warning" else ""
        return printable(f"{self.path}:{self.line}: {word}{field_part}{self.message}.{hint} [{self.code}]")

    def as_json(self) -> dict[str, str | int]:
        """The same as a flat JSON object."""
        return {
            "path": self.path, "line": self.line, "field": self.field, "message": self.message,
            "hint": self.hint, "code": self.code, "severity": self.severity,
        }  # fmt: skip


@dataclass(frozen=True)
class Origin:
    """Where a card came from: its file and the line of each field that its author wrote."""

    path: str
    lines: Mapping[Loc, int] = field(default_factory=dict)

    def line_of(self, loc: Loc) -> int:
        """The line of the field, or of the nearest enclosing field that the file has (at least 1)."""
        while loc and loc not in self.lines:
            loc = loc[:-1]
        return self.lines.get(loc, 1)

    def mistake(self, loc: Loc, code: str, message: str, hint: str = "", severity: Severity = "mistake") -> Mistake:
        """A mistake at this field of this file."""
        return Mistake(self.path, self.line_of(loc), dotted(loc), message, hint, code, severity)


def dotted(loc: Loc) -> str:
    """The place of a field as people read it, on one line.

    >>> dotted(("repairs", 0, "proof"))
    'repairs.0.proof'
    """
    return ".".join(" ".join(str(part).split())[:LONGEST_QUOTE] for part in loc)


def printable(text: str) -> str:
    r"""The text with every letter that a terminal would obey, or nobody would see, as its escape; line ends stay.

    >>> printable("a\x1b[2J")
    'a\\x1b[2J'
    """
    return "".join(char if char.isprintable() or char == "\n" else ascii(char)[1:-1] for char in text)


def quoted(text: str) -> str:
    """An author's own text in a message: on one line, cut short, in quotes.

    >>> quoted("two\\nlines")
    "'two lines'"
    """
    line = " ".join(text.split())
    return f"'{line}'" if len(line) <= LONGEST_QUOTE else f"'{line[: LONGEST_QUOTE - 1]}…'"


def did_you_mean(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """A hint that names the nearest valid name, or lists a short choice, or says `otherwise`.

    >>> did_you_mean("steddy", ["rises", "steady"])
    "Did you mean 'steady'?"
    """
    names = sorted(set(known))
    if near := get_close_matches(word, names, n=1, cutoff=0.6):
        return f"Did you mean '{near[0]}'?"
    if otherwise:
        return otherwise
    if 0 < len(names) <= 12:
        return f"Choose from: {', '.join(names)}."
    return ""
