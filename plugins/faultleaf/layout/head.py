"""The text of a process, terminal or preparation: number, signal word, action, how and note.

A signal word stands above the step that it protects, beside the number, and the note fills the rest
of that line. Without one the action begins beside the number and the note fills the last line.
"""

from __future__ import annotations

from dataclasses import dataclass

from faultleaf.layout.chart import ChartBox
from faultleaf.layout.shapes import PlacedSymbol, Rect, TextLine
from faultleaf.layout.style import Style, set_lines

SIGNAL_WITH_TRIANGLE = ("DANGER", "WARNING", "CAUTION")  # ANSI Z535.6: NOTICE has none


@dataclass(frozen=True)
class HeadText:
    """The lines, the triangle where there is one, the height used (mm), words cut."""

    lines: tuple[TextLine, ...]
    marks: tuple[PlacedSymbol, ...]
    height: float
    cut_words: int


def set_head(style: Style, box: ChartBox, room: Rect) -> HeadText:
    """The text of `box` in `room`, whose height does not matter."""
    number = str(box.number) if box.number else ""
    hang = style.text_width(number, style.question, bold=True) + 0.5 * style.body if number else 0.0
    cuts = 0
    lines, marks = _signal(style, box.hazard, Rect(room.x + hang, room.y, room.w - hang, 0))
    note_beside = _beside(style, box.note, lines[-1:], room)
    lines += note_beside
    below = 1 if lines else 0
    action_room = room if below else Rect(room.x + hang, room.y, room.w - hang, 0)
    for text, bold in ((box.action, True), (box.how, False)):
        place = action_room if bold else room
        wrapped = style.wrap(text, style.body, place.w, bold=bold)
        lines += set_lines(style, wrapped, place.x, _middle(style, room, below), style.body, bold=bold)
        below += len(wrapped.lines)
        cuts += wrapped.cut_words
    if not note_beside and box.note:
        note = _beside(style, box.note, lines[-1:], room)
        wrapped = style.wrap("" if note else box.note, style.body, room.w)
        lines += note or set_lines(style, wrapped, room.x, _middle(style, room, below), style.body)
        below += len(wrapped.lines)
        cuts += wrapped.cut_words
    return HeadText((*_number(style, number, room), *lines), marks, max(1, below) * style.lead, cuts)


def _middle(style: Style, room: Rect, lines_above: int) -> float:
    return room.y + (lines_above + 0.5) * style.lead


def _number(style: Style, number: str, room: Rect) -> tuple[TextLine, ...]:
    if not number:
        return ()
    y = _middle(style, room, 0) + style.middle(style.body)
    width = style.text_width(number, style.question, bold=True)
    return (TextLine(room.x, y, number, style.question, width, bold=True),)


def _signal(style: Style, word: str, room: Rect) -> tuple[tuple[TextLine, ...], tuple[PlacedSymbol, ...]]:
    """The signal word with its triangle, on one line."""
    if not word:
        return (), ()
    size, middle = style.body, _middle(style, room, 0)
    triangle = Rect(room.x, middle - size * 0.52, size * 1.04, size * 0.94)
    marks = (PlacedSymbol("alert", triangle),) if word in SIGNAL_WITH_TRIANGLE else ()
    x = room.x + (1.3 * size if marks else 0.0)
    y = middle + style.middle(size)
    return (TextLine(x, y, word, size, style.text_width(word, size, bold=True), bold=True),), marks


def _beside(style: Style, note: str, last: tuple[TextLine, ...], room: Rect) -> tuple[TextLine, ...]:
    """The note at the right end of the line `last`, or nothing where it has no room there."""
    width = style.text_width(note, style.body)
    if not note or not last or last[0].x + last[0].width + 1.2 * style.body + width > room.right:
        return ()
    return (TextLine(room.right - width, last[0].y, note, style.body, width),)
