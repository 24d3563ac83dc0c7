"""The exits of a box as rows: words beside the line that branches, close to what they lead to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from faultleaf.layout.chart import ChartExit
from faultleaf.layout.shapes import PlacedSymbol, Point, Rect, UnitExit
from faultleaf.layout.style import Style, end_inset, set_lines
from faultleaf.layout.wrap import Wrapped

Row = tuple[UnitExit, float, int]  # the exit, its lower edge (mm), words cut


@dataclass(frozen=True)
class Fan:
    """Where exits begin: width of the unit, foot of the symbol that they leave, top of the first row.

    `tip` is the middle height of a diamond whose right tip is free for the first exit.
    """

    width: float
    foot: float
    top: float
    tip: float | None


def set_exits(
    style: Style, fan: Fan, exits: Sequence[ChartExit], end_words: str, down: int | None
) -> tuple[tuple[UnitExit, ...], float, int]:
    """All exits one below the other, the straight one last; their lower edge (mm) and how many words were cut."""
    order = sorted(range(len(exits)), key=lambda i: i == down)
    rows: list[Row] = []
    y = fan.top
    if fan.tip is not None:
        rows.append(_tip_row(style, fan, exits[order[0]], order[0], end_words))
        order, y = order[1:], max(rows[0][1], fan.foot)
    for i in order:
        room = Rect(style.words, y, fan.width - style.words, 0)
        straight = i == down
        if straight and rows:  # the words beside the line must not read on from those of the row above
            room = room.moved(0, 0.25 * style.body)
        row = (
            _straight_row(style, exits[i], i, room)
            if straight
            else _side_row(style, exits[i], i, room, style.stem, end_words)
        )
        rows.append(row)
        y = row[1]
    placed = [row[0] for row in rows]
    if order:
        placed[-1] = replace(placed[-1], lead=((style.stem, fan.foot), *placed[-1].lead))
    return tuple(placed), y, sum(row[2] for row in rows)


def _tip_row(style: Style, fan: Fan, way: ChartExit, index: int, end_words: str) -> Row:
    """The row that leaves the diamond's right tip. A tall end hangs lower there, clear of the box above."""
    x = style.diamond + 0.75 * style.body
    row, bottom, cuts = _side_row(style, way, index, Rect(x, 0, fan.width - x, 0), style.diamond, end_words)
    up = (fan.tip or 0.0) - row.run[1]
    hang = max(0.0, row.run[1] - style.diamond / 2 + 0.25 * style.body) if row.end else 0.0
    row = row.moved(0, up)
    return replace(row, end=row.end.moved(0, hang) if row.end else None), bottom + up + hang, cuts


def _straight_row(style: Style, way: ChartExit, index: int, room: Rect) -> Row:
    """The exit that goes on below: its words beside the line."""
    text = style.wrap(way.label, style.body, room.w)
    lines = set_lines(style, text, room.x, room.y + style.lead / 2, style.body)
    bottom = room.y + len(text.lines) * style.lead
    foot: Point = (style.stem, bottom)
    return UnitExit(index, (foot,), lines, foot, straight=True), bottom, text.cut_words


def _side_row(style: Style, way: ChartExit, index: int, room: Rect, branch_x: float, end_words: str) -> Row:
    """An exit to the right: branch, words, and room for its arrow and circle or its end."""
    gap = 0.25 * style.body
    tail = gap + style.arrow
    end_text = _end_text(style, way.label, end_words, room.w - tail) if way.target is None else None
    end_width = _end_width(style, end_text) if end_text else style.circle
    end_height = len(end_text.lines) * style.lead + 0.5 * style.body if end_text else style.circle
    # Only the first line of the words makes room for a circle; beside an end they all do.
    text = (
        style.wrap(way.label, style.body, room.w - tail - end_width)
        if end_text
        else style.wrap(way.label, style.body, room.w, indent=tail + end_width)
    )
    half = max(style.circle, end_height) / 2
    y = room.y + half
    lines = set_lines(style, text, room.x, y, style.body)
    under = 0.0 if end_text else 0.15 * style.body  # keeps tall letters of the second line off the circle
    lines = (*lines[:1], *(line.moved(0, under) for line in lines[1:]))
    first = text.widths[0] * style.body if lines else -2 * gap
    # Words stay close to what they lead to: a gap would let the eye slip to another row.
    end = _end_symbol(style, end_text, room.x + text.widest * style.body + tail, y) if end_text else None
    bottom = max(y + half, y + (len(text.lines) - 1) * style.lead + under + 0.6 * style.body) + 0.12 * style.body
    lead = ((branch_x, y), (room.x - gap, y))
    cuts = text.cut_words + (end_text.cut_words if end_text else 0)
    return UnitExit(index, lead, lines, (room.x + first + gap, y), end=end), bottom, cuts


def _end_symbol(style: Style, text: Wrapped, x: float, middle_y: float) -> PlacedSymbol:
    """The terminal of a cured call, its left end at `x`."""
    height = len(text.lines) * style.lead + 0.5 * style.body
    rect = Rect(x, middle_y - height / 2, _end_width(style, text), height)
    first = rect.y + 0.25 * style.body + style.lead / 2
    return PlacedSymbol(
        "terminal", rect, set_lines(style, text, x + _end_inset(style, len(text.lines)), first, style.body)
    )


def _end_text(style: Style, label: str, end_words: str, room: float) -> Wrapped:
    """The words of the end terminal, broken so that the exit's own words keep their share of the row."""
    label_width = style.text_width(label, style.body)
    width = room - min(label_width, 0.45 * room)
    text = Wrapped()
    for lines in (1, 2, 3):
        text = style.wrap(end_words, style.body, width - 2 * _end_inset(style, lines))
        if len(text.lines) <= lines:
            break
    return text


def _end_inset(style: Style, lines: int) -> float:
    return end_inset(lines * style.lead + 0.5 * style.body, 0.25 * style.body, style.stem) + 0.3 * style.body


def _end_width(style: Style, text: Wrapped) -> float:
    return text.widest * style.body + 2 * _end_inset(style, len(text.lines))
