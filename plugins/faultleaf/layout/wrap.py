"""Breaks text into lines by real widths."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from faultleaf.layout.metrics import Ruler, Word

_HAIR_EM = 1e-9  # sums of floats in another order must not break a line that fits exactly


@dataclass(frozen=True)
class Wrapped:
    """Lines with their widths in em, and how many words had to be cut to fit."""

    lines: tuple[str, ...] = ()
    widths: tuple[float, ...] = ()
    cut_words: int = 0


def wrap(text: str, ruler: Ruler, width_em: float) -> Wrapped:
    """`text` in lines no wider than `width_em`; newlines in `text` begin new lines.

    Each line takes as many words as fit. A word that is wider than a whole line is cut, with a
    hyphen; that is the last resort, and counted.
    """
    broken, cuts = break_lines([ruler.words(line) for line in text.split("\n")], Cutter(ruler, ruler), width_em)
    lines = [line for lines in broken for line in lines]
    return Wrapped(
        tuple(" ".join(word.text for word in line) for line in lines), tuple(line_em(line) for line in lines), cuts
    )


def line_em(line: Sequence[Word]) -> float:
    """Width of a line of words, in em."""
    return math.fsum(word.em + word.blank for word in line) - line[0].blank if line else 0.0


@dataclass(frozen=True)
class Cutter:
    """Cuts words of either weight that fit no line."""

    regular: Ruler
    bold: Ruler

    def cut(self, word: Word, room: float, width_em: float) -> list[Word]:
        """The word in hyphenated pieces, the first no wider than `room` (but at least one letter each)."""
        ruler = self.bold if word.bold else self.regular
        return [ruler.word(piece) for piece in _pieces(word.text, ruler, room, width_em)]


def break_lines(
    paragraphs: Iterable[Sequence[Word]], cutter: Cutter, width_em: float, indent_em: float = 0.0, tail_em: float = 0.0
) -> tuple[list[list[list[Word]]], int]:
    """The lines of each paragraph, no wider than `width_em`, and the number of words cut.

    The first line of all is shorter by `indent_em` and stays empty where its first word would not fit
    there; the last one leaves `tail_em` free, or an empty line follows for the tail.
    """
    broken: list[list[list[Word]]] = []
    cuts = 0
    room = width_em - indent_em
    for words in paragraphs:
        lines, cut = _break(words, cutter, room, width_em)
        room = width_em if lines else room
        broken.append(lines)
        cuts += cut
    room = width_em if sum(map(len, broken)) > 1 else width_em - indent_em
    if tail_em and broken and broken[-1] and line_em(broken[-1][-1]) + tail_em > room + _HAIR_EM:
        broken[-1].append([])
    return broken, cuts


def _break(words: Sequence[Word], cutter: Cutter, room: float, width_em: float) -> tuple[list[list[Word]], int]:
    """The lines of one paragraph, the first one with less room, and the words cut."""
    lines: list[list[Word]] = []
    line: list[Word] = []
    used, cuts = 0.0, 0
    for next_word in words:
        word, more = next_word, used + next_word.blank + next_word.em
        if line and more <= room + _HAIR_EM:
            line.append(word)
            used = more
            continue
        if line or (not lines and room < width_em and word.em > room + _HAIR_EM):
            lines.append(line)
            room = width_em
        if word.em > room + _HAIR_EM:
            *full, word = cutter.cut(word, room, width_em)
            lines += [[piece] for piece in full]
            room, cuts = width_em, cuts + 1
        line, used = [word], word.em
    return [*lines, line] if line else lines, cuts


def _pieces(word: str, ruler: Ruler, room: float, width_em: float) -> Iterator[str]:
    hyphen = ruler.width_em("-")
    left, piece, used = room, "", hyphen
    for letter in word:
        if piece and used + ruler.width_em(letter) > left + _HAIR_EM:
            yield piece + "-"
            left, piece, used = width_em, "", hyphen
        piece, used = piece + letter, used + ruler.width_em(letter)
    yield piece
