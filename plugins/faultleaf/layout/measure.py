"""One box of the chart as a measured block: symbols, wrapped text, one row for each exit.

A long question inside a diamond wastes most of the paper. So the decision is a small true diamond
that carries a question mark, and the question stands beside it in the annotation bracket of
ISO 5807. Its exits leave as one line that branches, each branch with its words on it:

    +---------------------+
    | 3 Hold with ...     |   process: action, how, note
    +-/\\------------------+
      \\/ - [ Does it rise? |   decision
       |-- it stays --> (7)     a side exit, here with its connector
       |  it rises
       v                        the likeliest way, straight down
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt

from .chart import ChartBox, ChartExit
from .metrics import FontMetrics
from .shapes import PlacedSymbol, Point, Rect, Shape, TextLine, Unit, UnitExit
from .wrap import Wrapped, wrap

LEADING = 1.27  # STANDARDS: at least a quarter of the type size between lines
QUESTION = 14 / 12  # size of questions against other text
SIGNAL_WITH_TRIANGLE = ("DANGER", "WARNING", "CAUTION")  # ANSI Z535.6: NOTICE has none


@dataclass(frozen=True)
class Style:
    """Every distance of the drawing, from the size of ordinary text (`body`, mm)."""

    metrics: FontMetrics
    body: float

    @property
    def question(self) -> float:
        """Size of questions and numbers."""
        return self.body * QUESTION

    @property
    def lead(self) -> float:
        """From baseline to baseline of ordinary text."""
        return self.body * LEADING

    @property
    def pad(self) -> float:
        """From an outline to the text in it."""
        return self.body * 0.45

    @property
    def diamond(self) -> float:
        """Height and width of a decision."""
        return self.body * 2.45

    @property
    def stem(self) -> float:
        """From the left edge of a unit to the line that runs down."""
        return self.diamond / 2

    @property
    def circle(self) -> float:
        """Diameter of a connector."""
        return self.body * 1.75

    @property
    def arrow(self) -> float:
        """Length of the shortest line with an arrowhead."""
        return self.body * 1.25

    @property
    def words(self) -> float:
        """From the left edge of a unit to the words of its exits."""
        return self.stem + self.body

    def text_width(self, text: str, size: float, bold: bool = False) -> float:
        """Width of `text` in mm."""
        return self.metrics.face(bold).width_em(text) * size

    def wrap(self, text: str, size: float, width: float, bold: bool = False, indent: float = 0.0) -> Wrapped:
        """`text` broken to `width` mm."""
        return wrap(text, self.metrics.face(bold), max(width, size) / size, indent / size)

    def middle(self, size: float, bold: bool = False) -> float:
        """From the middle of small letters down to their baseline."""
        face = self.metrics.face(bold)
        return size * face.x_height / face.units_per_em / 2


def set_lines(style: Style, text: Wrapped, x: float, middle_y: float, size: float, bold: bool = False) -> tuple[TextLine, ...]:
    """The lines one below the other, the middle of the first at `middle_y`."""
    first = middle_y + style.middle(size, bold)
    return tuple(
        TextLine(x, first + i * size * LEADING, line, size, width * size, bold)
        for i, (line, width) in enumerate(zip(text.lines, text.widths, strict=True))
    )


def centre_text(style: Style, text: str, rect: Rect, size: float) -> TextLine:
    """One bold line in the middle of `rect`, by the height of its capitals."""
    width = style.text_width(text, size, bold=True)
    face = style.metrics.bold
    y = rect.y + rect.h / 2 + size * face.cap_height / face.units_per_em / 2
    return TextLine(rect.x + (rect.w - width) / 2, y, text, size, width, bold=True)


def circle_for(style: Style, number: int, x: float, middle_y: float) -> PlacedSymbol:
    """The connector circle of a box number, its left edge at `x`."""
    rect = Rect(x, middle_y - style.circle / 2, style.circle, style.circle)
    return PlacedSymbol("connector", rect, (centre_text(style, str(number), rect, style.body),))


def measure_unit(style: Style, box: ChartBox, width: float, end_words: str, down: int | None) -> Unit:
    """The unit of `box`, `width` mm wide, at the origin.

    `down` is the exit that goes straight down; None makes every exit a row with its own end.
    """
    head, cuts = _head(style, box, width)
    mark, mark_cuts = _mark(style, box, width, head[0].rect.bottom if head else 0.0)
    symbols = (*head, *mark)
    stem_top = (mark or head)[0].rect.bottom
    top = max(symbol.rect.bottom for symbol in symbols) + 0.25 * style.body * (len(box.exits) > 0)
    exits, bottom, exit_cuts = _exits(style, box.exits, width, end_words, down, Rect(style.stem, stem_top, 0, top - stem_top))
    first = symbols[0]
    return Unit(
        box,
        Rect(0, 0, width, max(bottom, first.rect.bottom)),
        symbols,
        exits,
        style.stem,
        _entry_y(style, first),
        first.rect.w == width,
        cuts + mark_cuts + exit_cuts,
    )


def _entry_y(style: Style, first: PlacedSymbol) -> float:
    """Where a line from the side meets the first symbol: tips and round ends at half height."""
    return style.pad + style.lead / 2 if first.shape == "process" else first.rect.h / 2


def _head(style: Style, box: ChartBox, width: float) -> tuple[tuple[PlacedSymbol, ...], int]:
    """The process, terminal or preparation with the action; nothing for a bare decision or connector."""
    bare = box.symbol == "connector" or (box.symbol == "decision" and not box.action)
    if bare:
        return (), 0
    shape: Shape = "process" if box.symbol == "decision" else box.symbol
    lines, marks, height, cuts, inset = (), (), 0.0, 0, 0.0
    for guess in range(1, 7):  # round and slanted ends need more room the taller the symbol is
        inset = _inset(style, shape, guess)
        lines, marks, height, cuts = _head_text(style, box, Rect(inset, style.pad, width - 2 * inset, 0))
        if height <= guess * style.lead + 1e-9 or shape == "process":
            break
    rect = Rect(0, 0, width, height + 2 * style.pad)
    return (PlacedSymbol(shape, rect, lines), *marks), cuts


def _inset(style: Style, shape: Shape, lines: int) -> float:
    """From the side of a symbol to its text, for a symbol of so many lines."""
    if shape == "preparation":
        return style.stem * 0.8 + style.pad
    if shape == "terminal":
        radius = end_radius(lines * style.lead + 2 * style.pad, style.stem)
        return radius - sqrt(radius**2 - (radius - style.pad) ** 2) + style.pad
    return style.pad


def end_radius(height: float, stem: float) -> float:
    """Radius of a terminal's round ends (mm): half its height, but never past the line that comes in from above."""
    return min(height / 2, stem)


def _head_text(
    style: Style, box: ChartBox, room: Rect
) -> tuple[tuple[TextLine, ...], tuple[PlacedSymbol, ...], float, int]:
    """Number, hazard, action, how and note in `room`: lines, triangle, height used, words cut."""
    number = str(box.number) if box.number else ""
    number_width = style.text_width(number, style.question, bold=True)
    hang = number_width + 0.5 * style.body if number else 0.0
    middle = room.y + style.lead / 2
    triangle = style.body * 1.2 if box.hazard in SIGNAL_WITH_TRIANGLE else 0.0
    action = f"{box.hazard}: {box.action}" if box.hazard else box.action
    bold = style.wrap(action, style.body, room.w - hang, bold=True, indent=triangle)
    lines = set_lines(style, bold, room.x + hang, middle, style.body, bold=True)
    if triangle and lines:
        lines = (lines[0].moved(triangle, 0), *lines[1:])
    how = style.wrap(box.how, style.body, room.w)
    lines += set_lines(style, how, room.x, middle + len(bold.lines) * style.lead, style.body)
    lines, note_cuts = _add_note(style, box.note, lines, room)
    height = max(1, round((lines[-1].y - middle) / style.lead) + 1 if lines else 1) * style.lead
    marks: tuple[PlacedSymbol, ...] = ()
    if triangle:
        size = style.body
        marks = (PlacedSymbol("alert", Rect(room.x + hang, middle - size * 0.52, size * 1.04, size * 0.94)),)
    if number:
        y = middle + style.middle(style.body, bold=True)
        lines = (TextLine(room.x, y, number, style.question, number_width, bold=True), *lines)
    return lines, marks, height, bold.cut_words + how.cut_words + note_cuts


def _add_note(style: Style, note: str, lines: tuple[TextLine, ...], room: Rect) -> tuple[tuple[TextLine, ...], int]:
    """The note at the right end of the last line where that has room, else on lines of its own."""
    text = style.wrap(note, style.body, room.w)
    if not text.lines:
        return lines, 0
    width = text.widest * style.body
    last = lines[-1] if lines else None
    if len(text.lines) == 1 and last and last.x + last.width + 1.2 * style.body + width <= room.right:
        return (*lines, TextLine(room.right - width, last.y, text.lines[0], style.body, width)), 0
    middle = (last.y + style.lead if last else room.y + style.lead / 2) - (style.middle(style.body) if last else 0)
    return (*lines, *set_lines(style, text, room.x, middle, style.body)), text.cut_words


def _mark(style: Style, box: ChartBox, width: float, top: float) -> tuple[tuple[PlacedSymbol, ...], int]:
    """The diamond with its question, or the circle of a connector box; nothing where no choice is made."""
    connector = box.symbol == "connector"
    if not (connector or box.question or len(box.exits) > 1 or box.symbol == "decision"):
        return (), 0
    words = box.question or ("" if top else box.action)
    rect = Rect(0, top, style.diamond, style.diamond)
    sign = "?" if top else str(box.number)
    mark = PlacedSymbol("connector" if connector else "decision", rect, (centre_text(style, sign, rect, style.question),))
    x = style.diamond + 0.9 * style.body
    text = style.wrap(words, style.question, width - x, bold=True)
    if not text.lines:
        return (mark,), text.cut_words
    lead = style.question * LEADING
    free = max(0.3 * style.body, (style.diamond - len(text.lines) * lead) / 2)
    lines = set_lines(style, text, x, top + free + lead / 2, style.question, bold=True)
    bracket = Rect(style.diamond + 0.5 * style.body, top + free, width - style.diamond - 0.5 * style.body, len(text.lines) * lead)
    return (mark, PlacedSymbol("annotation", bracket, lines)), text.cut_words


def _exits(
    style: Style, exits: Sequence[ChartExit], width: float, end_words: str, down: int | None, stem: Rect
) -> tuple[tuple[UnitExit, ...], float, int]:
    """The rows of all exits below `stem` (whose top and bottom bound the first piece of line), the lower edge, words cut."""
    order = sorted(range(len(exits)), key=lambda i: i == down)
    rows: list[UnitExit] = []
    y, cuts = stem.bottom, 0
    for i in order:
        room = Rect(style.words, y, width - style.words, 0)
        if i == down:
            row, y, cut = _straight_row(style, exits[i], i, room)
        else:
            row, y, cut = _side_row(style, exits[i], i, room, end_words)
        rows.append(row)
        cuts += cut
    if rows:
        rows[-1] = replace(rows[-1], lead=((stem.x, stem.y), *rows[-1].lead))
    return tuple(rows), y, cuts


def _straight_row(style: Style, way: ChartExit, index: int, room: Rect) -> tuple[UnitExit, float, int]:
    """The exit that goes on below: its words beside the line."""
    text = style.wrap(way.label, style.body, room.w)
    lines = set_lines(style, text, room.x, room.y + style.lead / 2, style.body)
    bottom = room.y + len(text.lines) * style.lead
    foot: Point = (style.stem, bottom)
    return UnitExit(index, (foot,), lines, foot, straight=True), bottom, text.cut_words


def _side_row(style: Style, way: ChartExit, index: int, room: Rect, end_words: str) -> tuple[UnitExit, float, int]:
    """An exit to the right: branch, words, and room for its arrow and circle or its end."""
    tail = 0.25 * style.body + style.arrow
    ending = way.target is None
    end_text = _end_text(style, way.label, end_words, room.w - tail) if ending else Wrapped()
    end_size = (_end_width(style, end_text), len(end_text.lines) * style.lead + 0.5 * style.body)
    text = style.wrap(way.label, style.body, room.w - tail - (end_size[0] if ending else style.circle))
    half = max(style.circle, end_size[1] if ending else 0.0) / 2
    y = room.y + half
    lines = set_lines(style, text, room.x, y, style.body)
    tip = room.x - 0.25 * style.body
    # Words stay close to what they lead to: a gap would let the eye slip to another row.
    run = (room.x + (text.widths[0] * style.body if lines else -0.5 * style.body) + 0.25 * style.body, y)
    right = room.x + text.widest * style.body + 0.25 * style.body
    end = None
    if ending:
        rect = Rect(right + style.arrow, y - end_size[1] / 2, *end_size)
        first = rect.y + 0.25 * style.body + style.lead / 2
        end = PlacedSymbol("terminal", rect, set_lines(style, end_text, rect.x + _end_inset(style, len(end_text.lines)), first, style.body))
    bottom = max(y + half, y + (len(text.lines) - 1) * style.lead + 0.6 * style.body) + 0.12 * style.body
    return UnitExit(index, ((style.stem, y), (tip, y)), lines, run, end=end), bottom, text.cut_words + end_text.cut_words


def _end_text(style: Style, label: str, end_words: str, room: float) -> Wrapped:
    """The words of the end terminal, broken so that the exit's own words keep their share of the row."""
    label_width = style.text_width(label, style.body)
    width = room - min(label_width, 0.45 * room)
    for lines in (1, 2, 3):
        text = style.wrap(end_words, style.body, width - 2 * _end_inset(style, lines))
        if len(text.lines) <= lines:
            return text
    return text


def _end_inset(style: Style, lines: int) -> float:
    radius = end_radius(lines * style.lead + 0.5 * style.body, style.stem)
    return radius - sqrt(radius**2 - (radius - 0.25 * style.body) ** 2) + 0.1 * style.body


def _end_width(style: Style, text: Wrapped) -> float:
    return text.widest * style.body + 2 * _end_inset(style, len(text.lines)) if text.lines else 0.0
