"""Every size and distance of the drawing, in proportion to the type, and text set to them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from faultleaf.layout.metrics import Rulers, Word
from faultleaf.layout.shapes import Point, Rect, TextLine
from faultleaf.layout.wrap import Cutter, break_lines, line_em

LEADING = 1.25  # STANDARDS: at least a quarter of the type size between lines
UNDER_CIRCLE = 0.2  # sizes of type that keep tall letters off a circle in the line above

Run = tuple[str, bool]  # text and whether it is bold


@dataclass(frozen=True)
class Style:
    """Every distance of the drawing, from the sizes of ordinary text and of questions (mm).

    Without `drawn` text is only measured: it has its room, but no lines are kept.
    """

    rulers: Rulers
    body: float
    question: float
    drawn: bool = True

    @property
    def lead(self) -> float:
        """From baseline to baseline of ordinary text."""
        return self.body * LEADING

    @property
    def pad(self) -> float:
        """From an outline at the side to the text in it."""
        return self.body * 0.45

    @property
    def pad_y(self) -> float:
        """From an outline above or below to the text in it."""
        return self.body * 0.16

    @property
    def circle(self) -> float:
        """Diameter of a connector: two digits and the stroke."""
        return self.body * 1.46

    @property
    def diamond(self) -> float:
        """Height and width of a decision: a question mark and the stroke."""
        return self.body * 1.36

    @property
    def small_diamond(self) -> float:
        """Height and width of the decision behind a repair, which holds no sign."""
        return self.body * 0.9

    @property
    def stem(self) -> float:
        """From the left edge of a box to the line that runs down from it."""
        return self.body * 1.2

    @property
    def aside(self) -> float:
        """From the left edge of a box to the words of its exits, and to the boxes that stand aside.

        A whole number of sizes of type, as the widths of columns are: fewer widths are to be measured.
        """
        return self.body * 2.0

    @property
    def ask(self) -> float:
        """From the left edge of a box to its question, beside the decision."""
        return self.stem + self.diamond / 2 + 0.35 * self.body

    @property
    def gap(self) -> float:
        """Between words and the line that goes on from them."""
        return self.body * 0.2

    @property
    def arrow(self) -> float:
        """Length of the shortest line with an arrowhead."""
        return self.body * 0.8

    @property
    def apart(self) -> float:
        """Between boxes that no line joins."""
        return self.body * 0.55

    def text_width(self, text: str, size: float, bold: bool = False) -> float:
        """Width of `text` in mm."""
        return self.rulers.of(bold).width_em(text) * size

    def middle(self, size: float) -> float:
        """From the middle of small letters down to their baseline; alike for both weights, so leading is even."""
        face = self.rulers.regular.face
        return size * face.x_height / face.units_per_em / 2


@dataclass(frozen=True)
class Block:
    """Lines of text that have been set, how many, the right edge of the widest, words cut.

    `ends` is where each paragraph ends: x, and the middle of its last line.
    """

    texts: tuple[TextLine, ...]
    count: int
    right: float
    ends: tuple[Point, ...]
    cut_words: int

    @property
    def end_x(self) -> float:
        """Where the last line ends."""
        return self.ends[-1][0]

    @property
    def last_middle(self) -> float:
        """Middle of the last line; of the first, where there is none."""
        return self.ends[-1][1]


def set_block(
    style: Style,
    paragraphs: Sequence[Sequence[Run]],
    place: Rect,
    size: float,
    indent: float = 0.0,
    tail: float = 0.0,
    circle: bool = False,
) -> Block:
    """The paragraphs in `place`, whose height does not matter and whose top is the middle of the first line.

    `indent` shortens the first line, `tail` the last; `circle` says that a circle stands in the first
    line, before or after the words.
    """
    rulers = style.rulers
    words = [[word for text, bold in runs for word in rulers.of(bold).words(text)] for runs in paragraphs]
    width = max(place.w, size)
    cutter = Cutter(rulers.regular, rulers.bold)
    broken, cuts = break_lines(words, cutter, width / size, indent / size, tail / size)
    texts: list[TextLine] = []
    ends: list[Point] = []
    count = 0
    x, y, right = place.x + indent, place.y, place.x
    for lines in broken:
        for line in lines:
            x = place.x + (0.0 if count else indent)
            y = place.y + count * size * LEADING + (UNDER_CIRCLE * style.body if circle and count else 0.0)
            if style.drawn:
                texts += _set_line(line, x, y + style.middle(size), size)
            x += line_em(line) * size
            right = max(right, x)
            count += 1
        ends.append((x, y))
    return Block(tuple(texts), count, right, tuple(ends) or ((x, y),), cuts)


def _set_line(line: Sequence[Word], x: float, baseline: float, size: float) -> list[TextLine]:
    """One piece of text for each change of weight."""
    pieces: list[TextLine] = []
    for bold, group in groupby(line, key=lambda word: word.bold):
        words = list(group)
        text, width = " ".join(word.text for word in words), line_em(words) * size
        x += words[0].blank * size if pieces else 0.0
        pieces.append(TextLine(x, baseline, text, size, width, bold))
        x += width
    return pieces


def centre_text(style: Style, text: str, rect: Rect, size: float) -> TextLine:
    """One bold line in the middle of `rect`, by the height of its capitals."""
    width = style.text_width(text, size, bold=True)
    face = style.rulers.bold.face
    y = rect.y + rect.h / 2 + size * face.cap_height / face.units_per_em / 2
    return TextLine(rect.x + (rect.w - width) / 2, y, text, size, width, bold=True)


def end_radius(height: float, body: float) -> float:
    """Radius of a terminal's round ends (mm) for a size of type: half its height, but never far into the text."""
    return min(height / 2, 1.15 * body)
