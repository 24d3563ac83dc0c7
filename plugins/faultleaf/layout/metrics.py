"""How wide text is: the sum of the advances of its letters.

The drawing switches kerning and ligatures off, so that this sum is what a browser draws too.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

MM_PER_PT = 25.4 / 72


@dataclass(frozen=True)
class Face:
    """One weight of the font. All numbers are in font units; `advances` is keyed by code point."""

    advances: Mapping[int, int]
    units_per_em: int
    x_height: int
    cap_height: int
    ascender: int
    descender: int

    def width_em(self, text: str) -> float:
        """Width of `text` in em. A letter that the font lacks counts a full em, so that it has room."""
        missing = self.units_per_em
        return sum(self.advances.get(ord(letter), missing) for letter in text) / self.units_per_em


@dataclass(frozen=True)
class FontMetrics:
    """The two weights that charts are set in."""

    regular: Face
    bold: Face


@dataclass(frozen=True, slots=True)
class Word:
    """A word with its width and that of a blank before it (em)."""

    text: str
    em: float
    blank: float
    bold: bool = False


class Ruler:
    """A face that remembers what it has measured: fitting a chart asks for the same words many times."""

    def __init__(self, face: Face, bold: bool = False) -> None:
        self.face = face
        self.bold = bold
        self._widths: dict[str, float] = {}
        self._words: dict[str, tuple[Word, ...]] = {}

    def width_em(self, text: str) -> float:
        """Width of `text` in em, as `Face.width_em` gives it."""
        if text not in self._widths:
            self._widths[text] = self.face.width_em(text)
        return self._widths[text]

    def word(self, text: str) -> Word:
        """That word, measured."""
        return Word(text, self.width_em(text), self.width_em(" "), self.bold)

    def words(self, text: str) -> tuple[Word, ...]:
        """The words of a text."""
        if text not in self._words:
            self._words[text] = tuple(self.word(word) for word in text.split())
        return self._words[text]


class Rulers:
    """A ruler for each weight, to be made anew for each chart."""

    def __init__(self, metrics: FontMetrics) -> None:
        self.regular = Ruler(metrics.regular)
        self.bold = Ruler(metrics.bold, bold=True)

    def of(self, bold: bool) -> Ruler:
        """The ruler of that weight."""
        return self.bold if bold else self.regular


def clean_text(text: str) -> str:
    """The text as it is set: composed letters (NFC), single spaces, no control characters."""
    joined = " ".join(unicodedata.normalize("NFC", text).split())
    return "".join(letter for letter in joined if letter.isprintable())
