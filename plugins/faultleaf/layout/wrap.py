"""Breaks text into lines by real widths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .metrics import Face, clean_text

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


def wrap(text: str, face: Face, width_em: float, first_indent_em: float = 0.0) -> Wrapped:
    """`text` in lines no wider than `width_em`, the first one shorter by `first_indent_em`.

    Each line takes as many words as fit. A word that is wider than a whole line is cut, with a
    hyphen; that is the last resort, and counted. Newlines in `text` begin new lines.
    """
    lines: list[str] = []
    cuts = 0
    for paragraph in text.split("\n"):
        line, used = "", 0.0
        room = width_em - (0.0 if lines else first_indent_em)
        for word in clean_text(paragraph).split():
            wide = face.width_em(word)
            if line and used + face.width_em(" ") + wide <= room + _HAIR_EM:
                line, used = f"{line} {word}", used + face.width_em(" ") + wide
                continue
            if line:
                lines.append(line)
                room = width_em
            *full, line = _cut(word, face, room, width_em)
            cuts += 1 if full else 0
            lines += full
            room, used = (width_em if full else room), face.width_em(line)
        lines += [line] if line else []
    return Wrapped(tuple(lines), tuple(face.width_em(line) for line in lines), cuts)


def _cut(word: str, face: Face, room: float, width_em: float) -> Iterator[str]:
    """The word whole, or in hyphenated pieces when it fits no line (at least one letter each)."""
    left, piece, used = room, "", face.width_em("-")
    if face.width_em(word) > room + _HAIR_EM:
        for letter in word:
            if piece and used + face.width_em(letter) > left + _HAIR_EM:
                yield piece + "-"
                left, piece, used = width_em, "", face.width_em("-")
            piece, used = piece + letter, used + face.width_em(letter)
        word = piece
    yield word
