"""A box by itself: its outline with number, hazard, action, how, note and question.

+------------------------------+
| (3) /!\\ WARNING  Hold with    |   the connector that "go to 3" leads to; the hazard before the step
| only the bypass open          |
| Mark and wait.  5 min · owner |   how; minutes and lowest rank
| <?> Does the water climb?     |   the decision with its question
+-+----------------------------+
  |                                the exits branch off here
"""

from __future__ import annotations

from dataclasses import dataclass

from faultleaf.layout.chart import ChartBox
from faultleaf.layout.shapes import PlacedSymbol, Point, Rect, TextLine
from faultleaf.layout.style import LEADING, Block, Run, Style, centre_text, set_block

SIGNAL_WITH_TRIANGLE = ("DANGER", "WARNING", "CAUTION")  # ANSI Z535.6: NOTICE has none
APART = 1.2  # sizes of type between the words of a line and a note at its end


@dataclass(frozen=True)
class Head:
    """The outline with its text, the marks inside, where the line of its exits begins, words cut."""

    outline: PlacedSymbol
    marks: tuple[PlacedSymbol, ...]
    stem: Point
    cut_words: int


def set_head(style: Style, box: ChartBox, width: float) -> Head:
    """The box, `width` mm wide, at the origin."""
    if not box.number:
        return _set_start(style, box, width)
    terminal = box.symbol == "terminal"
    # The round ends of a terminal need a little more room at the sides.
    pad = style.pad + (0.15 * style.body if terminal else 0.0)
    place = Rect(pad, style.pad_y + style.circle / 2, width - 2 * pad, 0.0)
    marks, signal, indent = _opening(style, box, place)
    paragraphs: list[list[Run]] = [[(before, False), (line, True)] for before, line in box.steps()]
    paragraphs += [[(box.how, False)]] if box.how else []
    step = set_block(style, paragraphs, place, style.body, indent, circle=True)
    bottom = max(step.last_middle + style.lead / 2, place.y + style.circle / 2)
    mark, question, bottom = _question(style, box, width, bottom)
    # The note stands at the end of the how, of the one action, or of the question: where there is room first.
    ends = (*step.ends[:-3:-1], *question.ends) if box.symbol == "decision" else step.ends[-1:]
    # Below the question it keeps clear of the line that goes down from the decision.
    left = style.ask if question.count else place.x
    note, bottom, cuts = _note(style, box.note, Rect(left, 0.0, place.right - left, 0.0), ends, bottom)
    height = bottom + style.pad_y
    texts = (*signal, *step.texts, *note, *question.texts)
    outline = PlacedSymbol("terminal" if terminal else "process", Rect(0.0, 0.0, width, height), texts)
    stem = (style.stem, mark[0].rect.bottom if mark else height)
    cut_words = step.cut_words + question.cut_words + cuts
    return Head(outline, (*marks, *mark), stem, cut_words)


def _set_start(style: Style, box: ChartBox, width: float) -> Head:
    """The terminal at which the chart begins: no wider than its words."""
    pad, half = 0.65 * style.body, style.lead / 2 + 0.2 * style.body
    block = set_block(style, [[(box.action, True)]], Rect(pad, half, width - 2 * pad, 0.0), style.body)
    wide = block.right + pad
    height = block.last_middle + half
    outline = PlacedSymbol("terminal", Rect(0.0, 0.0, wide, height), block.texts)
    return Head(outline, (), (style.stem, height), block.cut_words)


def _opening(style: Style, box: ChartBox, place: Rect) -> tuple[tuple[PlacedSymbol, ...], tuple[TextLine, ...], float]:
    """The number in its circle and the signal word with its triangle, and how far they reach into the first line."""
    marks = [circle_for(style, box.number, place.x, place.y)]
    x = place.x + style.circle + 0.4 * style.body
    if not box.hazard:
        return tuple(marks), (), x - place.x
    if box.hazard in SIGNAL_WITH_TRIANGLE:
        size = style.body
        marks.append(PlacedSymbol("alert", Rect(x, place.y - size * 0.52, size * 1.04, size * 0.94)))
        x += 1.25 * size
    width = style.text_width(box.hazard, style.body, bold=True)
    word = TextLine(x, place.y + style.middle(style.body), box.hazard, style.body, width, bold=True)
    return tuple(marks), (word,), x + width + 0.6 * style.body - place.x


def _question(style: Style, box: ChartBox, width: float, top: float) -> tuple[tuple[PlacedSymbol, ...], Block, float]:
    """The diamond and the question beside it, and their lower edge; nothing where none is asked."""
    if not box.question:
        return (), Block((), 0, 0.0, (), 0), top
    size = style.question if box.symbol == "decision" else style.body
    lead = size * LEADING
    first = top + max(style.diamond, lead) / 2 + 0.1 * style.body
    room = Rect(style.ask, first, width - style.ask - style.pad, 0.0)
    block = set_block(style, [[(box.question, True)]], room, size)
    bottom = max(first + style.diamond / 2, block.last_middle + lead / 2)
    return (diamond_for(style, style.stem, first),), block, bottom


def _note(
    style: Style, note: str, place: Rect, ends: tuple[Point, ...], bottom: float
) -> tuple[tuple[TextLine, ...], float, int]:
    """The note at the right end of the first line that has room for it, or below everything."""
    width = style.text_width(note, style.body)
    if not note:
        return (), bottom, 0
    for x, middle in ends:
        if x + APART * style.body + width <= place.right:
            y = middle + style.middle(style.body)
            return (TextLine(place.right - width, y, note, style.body, width),), bottom, 0
    block = set_block(style, [[(note, False)]], Rect(place.x, bottom + style.lead / 2, place.w, 0.0), style.body)
    shift = place.right - block.end_x if block.count == 1 else 0.0
    texts = tuple(line.moved(shift, 0.0) for line in block.texts)
    return texts, block.last_middle + style.lead / 2, block.cut_words


def circle_for(style: Style, number: int, x: float, middle_y: float) -> PlacedSymbol:
    """The connector circle of a box number, its left edge at `x`."""
    rect = Rect(x, middle_y - style.circle / 2, style.circle, style.circle)
    return PlacedSymbol("connector", rect, (centre_text(style, str(number), rect, style.body),))


def diamond_for(style: Style, middle_x: float, middle_y: float) -> PlacedSymbol:
    """The decision around this point."""
    half = style.diamond / 2
    rect = Rect(middle_x - half, middle_y - half, style.diamond, style.diamond)
    return PlacedSymbol("decision", rect, (centre_text(style, "?", rect, style.body),))
