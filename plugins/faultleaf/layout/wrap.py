"""Breaks text into lines by real widths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from faultleaf.layout.metrics import Ruler

_HAIR_EM = 1e-9  # sums of floats in another order must not break a line that fits exactly


@dataclass(frozen=True)
class Wrapped:
    """Lines with their widths in em, and how many words had to be cut to fit."""

    lines: tuple[str, ...] = ()
    widths: tuple[float, ...] = ()
    cut_words: int = 0

    @property
    def widest(self) -> float:
        """Width of the widest line, in em; 0 without lines."""
        return max(self.widths, default=0.0)


def wrap(text: str, ruler: Ruler, width_em: float, first_indent_em: float = 0.0) -> Wrapped:
    """`text` in lines no wider than `width_em`, the first one shorter by `first_indent_em`.

    Each line takes as many words as fit. A word that is wider than a whole line is cut, with a
    hyphen; that is the last resort, and counted. Newlines in `text` begin new lines.
    """
    lines: list[tuple[str, float]] = []
    cuts = 0
    space = ruler.width_em(" ")
    for paragraph in text.split("\n"):
        line, used = "", 0.0
        room = width_em - (0.0 if lines else first_indent_em)
        for word in paragraph.split():
            wide = ruler.width_em(word)
            if line and used + space + wide <= room + _HAIR_EM:
                line, used = f"{line} {word}", used + space + wide
                continue
            if line:
                lines.append((line, used))
                room = width_em
            line, used = word, wide
            if wide > room + _HAIR_EM:
                *full, line = _cut(word, ruler, room, width_em)
                lines += [(piece, ruler.width_em(piece)) for piece in full]
                room, used, cuts = width_em, ruler.width_em(line), cuts + 1
        lines += [(line, used)] if line else []
    return Wrapped(tuple(line for line, _ in lines), tuple(width for _, width in lines), cuts)


def _cut(word: str, ruler: Ruler, room: float, width_em: float) -> Iterator[str]:
    """The word in hyphenated pieces, the first no wider than `room` (but at least one letter each)."""
    hyphen = ruler.width_em("-")
    left, piece, used = room, "", hyphen
    for letter in word:
        if piece and used + ruler.width_em(letter) > left + _HAIR_EM:
            yield piece + "-"
            left, piece, used = width_em, "", hyphen
        piece, used = piece + letter, used + ruler.width_em(letter)
    yield piece
