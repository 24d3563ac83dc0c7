"""A box by itself: its outline with number, action, how, note, the sign with its keys, and the question.

+------------------------------+
| (3) Hold, bypass open  5 min |   the connector that "go to 3" leads to; hands-on minutes and lowest rank
| <?> Level up?  /!\\ LOCK TAPS |   the decision with its question; the keys of the cautions, told before
+-+----------------------------+
  |                                the exits branch off here
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from faultleaf.layout.chart import ChartBox
from faultleaf.layout.shapes import PlacedSymbol, Point, Rect, TextLine
from faultleaf.layout.style import LEADING, Block, Run, Style, centre_text, set_block

SIGNAL_WITH_TRIANGLE = ("DANGER", "WARNING", "CAUTION")  # ANSI Z535.6: NOTICE has none
APART = 0.8  # sizes of type between the words of a line and what stands at its end
TRIANGLE = 1.2  # sizes of type that the sign takes before its keys


@dataclass(frozen=True)
class Head:
    """The outline with its text, the marks inside, where the line of its exits begins, words cut.

    `last` is the middle of the last line of a box that asks nothing: there the way out of a repair begins.
    """

    outline: PlacedSymbol
    marks: tuple[PlacedSymbol, ...]
    stem: Point
    last: float
    cut_words: int


def set_head(style: Style, box: ChartBox, width: float) -> Head:
    """The box, `width` mm wide, at the origin; a repair is no wider than its words."""
    if not box.number:
        return _set_start(style, box, width)
    terminal = box.symbol == "terminal"
    # The round ends of a terminal need a little more room at the sides.
    pad = style.pad + (0.15 * style.body if terminal else 0.0)
    place = Rect(pad, style.pad_y + style.circle / 2, width - 2 * pad, 0.0)
    circle = circle_for(style, box.number, place.x, place.y)
    step = set_block(style, _paragraphs(box), place, style.body, style.circle + 0.3 * style.body, circle=True)
    bottom = max(step.last_middle + style.lead / 2, place.y + style.circle / 2)
    mark, question, bottom = _question(style, box, width, bottom)
    left = style.ask if question.count else place.x
    lines = _Lines(style, Rect(left, 0.0, place.right - left, 0.0), bottom, level=box.symbol == "decision")
    lines.ends = [[*end, place.right] for end in _open_ends(box, step, question)]
    lines.put_note(box.note)
    lines.put_sign(box)
    wide = min(width, max(step.right, lines.right, question.right) + pad) if box.is_repair else width
    height = lines.bottom + style.pad_y
    texts = (*step.texts, *lines.texts, *question.texts)
    outline = PlacedSymbol("terminal" if terminal else "process", Rect(0.0, 0.0, wide, height), texts)
    stem = (style.stem, mark[0].rect.bottom if mark else height)
    cuts = step.cut_words + question.cut_words + lines.cut_words
    last = max(place.y, lines.bottom - style.lead / 2)
    return Head(outline, (circle, *lines.marks, *mark), stem, last, cuts)


def _paragraphs(box: ChartBox) -> list[list[Run]]:
    """The steps, then how; of a repair its cause is bold, else the action."""
    told: list[list[Run]] = [[(before, bool(box.causes)), (line, not box.causes)] for before, line in box.steps()]
    return [*told, [(box.how, False)]] if box.how else told


def _open_ends(box: ChartBox, step: Block, question: Block) -> tuple[Point, ...]:
    """The lines at whose end something more may stand, from above."""
    if box.symbol == "decision":
        return (*step.ends[-2:], *question.ends) if question.count else step.ends[-2:]
    return step.ends[-1:]


@dataclass
class _Lines:
    """What stands at the ends of lines, or on lines of its own below: at the right edge where `level`."""

    style: Style
    place: Rect
    bottom: float
    level: bool
    ends: list[list[float]] = field(default_factory=list)  # x, middle, right edge of what is free
    texts: list[TextLine] = field(default_factory=list)
    marks: list[PlacedSymbol] = field(default_factory=list)
    right: float = 0.0
    cut_words: int = 0

    def put_note(self, note: str) -> None:
        """Minutes and rank, at the first line that has room."""
        if not note:
            return
        width = self.style.text_width(note, self.style.body)
        if width > self.place.w:
            self._put_block(note)
            return
        x, middle = self._room(width, self.ends)
        self._text(note, x, middle, width, bold=False)

    def put_sign(self, box: ChartBox) -> None:
        """The triangle and the keys, at the last line that has room; as many lines as they take."""
        triangle = TRIANGLE * self.style.body if box.hazard in SIGNAL_WITH_TRIANGLE else 0.0
        for number, words in enumerate(self._key_lines(box.sign, triangle)):
            width = self.style.text_width(words, self.style.body, bold=True)
            # Keys that go on stand below those before.
            x, middle = self._room(triangle + width, [] if number else self.ends[::-1])
            if triangle:
                size = self.style.body
                self.marks.append(PlacedSymbol("alert", Rect(x, middle - size * 0.52, size * 1.04, size * 0.94)))
            self._text(words, x + triangle, middle, width, bold=True)
            triangle = 0.0

    def _key_lines(self, keys: Sequence[str], before: float) -> Iterator[str]:
        """The keys in lines that fit the box; on one line where they fit one."""
        line = ""
        for key in keys:
            longer = f"{line} {key}".strip()
            if line and before + self.style.text_width(longer, self.style.body, bold=True) > self.place.w:
                yield line
                longer, before = key, 0.0
            line = longer
        if line:
            yield line

    def _room(self, width: float, ends: Sequence[list[float]]) -> Point:
        """Where so much fits: at the end of one of these lines, else on a new one."""
        apart = APART * self.style.body
        for end in ends:
            x, middle, right = end
            if x + apart + width <= right + 1e-9:
                if self.level:
                    end[2] = right - width - apart
                    return right - width, middle
                end[0] = x + apart + width
                return x + apart, middle
        middle = self.bottom + self.style.lead / 2
        self.bottom += self.style.lead
        left = self.place.right - width if self.level else self.place.x
        free = [self.place.x, middle, left - apart] if self.level else [left + width, middle, self.place.right]
        self.ends.append(free)
        return left, middle

    def _text(self, text: str, x: float, middle: float, width: float, bold: bool) -> None:
        size = self.style.body
        self.right = max(self.right, x + width)
        if self.style.drawn:
            self.texts.append(TextLine(x, middle + self.style.middle(size), text, size, width, bold))

    def _put_block(self, note: str) -> None:
        """A note that is wider than the box, in lines of its own."""
        place = Rect(self.place.x, self.bottom + self.style.lead / 2, self.place.w, 0.0)
        block = set_block(self.style, [[(note, False)]], place, self.style.body)
        self.texts += block.texts
        self.right = max(self.right, block.right)
        self.cut_words += block.cut_words
        self.bottom = block.last_middle + self.style.lead / 2


def _set_start(style: Style, box: ChartBox, width: float) -> Head:
    """The terminal at which the chart begins: no wider than its words."""
    pad, half = 0.65 * style.body, style.lead / 2 + 0.1 * style.body
    block = set_block(style, [[(box.action, True)]], Rect(pad, half, width - 2 * pad, 0.0), style.body)
    wide = block.right + pad
    height = block.last_middle + half
    outline = PlacedSymbol("terminal", Rect(0.0, 0.0, wide, height), block.texts)
    return Head(outline, (), (style.stem, height), half, block.cut_words)


def _question(style: Style, box: ChartBox, width: float, top: float) -> tuple[tuple[PlacedSymbol, ...], Block, float]:
    """The diamond and the question beside it, and their lower edge; nothing where none is asked."""
    if not box.question:
        return (), Block((), 0, 0.0, (), 0), top
    size = style.question if box.symbol == "decision" else style.body
    lead = size * LEADING
    first = top + max(style.diamond, lead) / 2 + 0.04 * style.body
    room = Rect(style.ask, first, width - style.ask - style.pad, 0.0)
    block = set_block(style, [[(box.question, True)]], room, size)
    bottom = max(first + style.diamond / 2, block.last_middle + lead / 2)
    return (diamond_for(style, style.stem, first),), block, bottom


def circle_for(style: Style, number: int, x: float, middle_y: float) -> PlacedSymbol:
    """The connector circle of a box number, its left edge at `x`."""
    rect = Rect(x, middle_y - style.circle / 2, style.circle, style.circle)
    return PlacedSymbol("connector", rect, (centre_text(style, str(number), rect, style.body),))


def diamond_for(style: Style, middle_x: float, middle_y: float) -> PlacedSymbol:
    """The decision around this point."""
    half = style.diamond / 2
    rect = Rect(middle_x - half, middle_y - half, style.diamond, style.diamond)
    return PlacedSymbol("decision", rect, (centre_text(style, "?", rect, style.body),))


def small_diamond_for(style: Style, left: float, middle_y: float) -> PlacedSymbol:
    """The decision behind a repair, its left corner at this point: "cured?", as its words below the chart say."""
    size = style.small_diamond
    return PlacedSymbol("decision", Rect(left, middle_y - size / 2, size, size))
