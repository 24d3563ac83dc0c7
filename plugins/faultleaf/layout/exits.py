"""The exits of a box that end beside it, as rows: branch, words, then the connector or the terminal.

Short rows share a line; then each leaves the foot of its box at a place of its own. A repair has the small
decision "cured?" on its right, or below it where the next box stands there; its "yes" ends the call and is not drawn:

    +-----------------------------+
    | <?> Does it stay?           |        +------------------+
    +-+----------+----------------+        | (4) Valve passes |-<>-no-> (5)
      |  it stays '- it falls -> (5)       +------------------+
      v
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from faultleaf.layout.chart import ChartBox, ChartExit
from faultleaf.layout.head import Head, circle_for, diamond_for, set_head, small_diamond_for
from faultleaf.layout.shapes import PlacedExit, PlacedSymbol, Point, Rect, TextLine
from faultleaf.layout.style import UNDER_CIRCLE, Block, Style, set_block

DROP = 0.2  # sizes of type from the foot of a box to the decision that hangs below it


@dataclass(frozen=True)
class Goals:
    """What the ends of exits say: the number of each box, the sheet of those on another one, the words of an end and
    of the decision behind a repair."""

    numbers: Mapping[str, int]
    sheets: Mapping[str, int]
    end_words: str
    no_words: str = "no"


@dataclass(frozen=True)
class Body:
    """A box with the rows of its exits, at the origin.

    `marks` are those of the head, and a decision below it, which the line `drop` leads to; `stem` is where
    the line begins from which the exits branch off. `label` are the words of the exit straight down, where
    they share the line of another exit, else None; `last_branch` is the height of the lowest branch of the stem.
    """

    outline: PlacedSymbol
    marks: tuple[PlacedSymbol, ...]
    stem: Point
    exits: tuple[PlacedExit, ...]
    label: tuple[TextLine, ...] | None
    last_branch: float | None
    height: float
    cut_words: int = 0
    drop: tuple[Point, ...] = ()


@dataclass(frozen=True)
class _Row:
    """One exit set by itself, the middle of its first line at 0: how far it reaches each way, lines, words cut."""

    exit: PlacedExit
    above: float
    below: float
    right: float
    single: bool
    cut_words: int

    def begun(self, *points: Point) -> PlacedExit:
        """The exit with its branch, or its line where it has none, begun with these points instead of its first."""
        way = self.exit
        if way.branch:
            return replace(way, branch=(*points, *way.branch[1:]))
        return replace(way, line=(*points, *way.line[1:]))


def set_body(style: Style, goals: Goals, box: ChartBox, width: float, rows: Sequence[int], down: int | None) -> Body:
    """The box and those exits that are rows; `down` is an exit whose words may share their line."""
    if box.asks_cured:
        (on,) = (i for i, way in enumerate(box.exits) if way.target is not None)
        return _set_tailed(style, goals, box, on, width) if on in rows else _set_below(style, goals, box, width)
    if len(box.exits) == 1 and rows and box.is_repair and not box.exits[0].label:
        return _set_tailed(style, goals, box, 0, width)
    head = set_head(style, box, width)
    ways = [_set_row(style, goals, box.exits[i], i, width) for i in rows]
    cuts = head.cut_words + sum(way.cut_words for way in ways)
    if len(box.exits) > 1 and not box.question:
        # The row beside the hanging decision begins half a diamond further to the right.
        first = [_set_row(style, goals, box.exits[i], i, width - style.diamond / 2) for i in rows[:1]]
        body = _set_hanging(style, head, [*first, *ways[1:]])
        cuts = head.cut_words + sum(way.cut_words for way in (*first, *ways[1:]))
    else:
        body = _set_rows(style, head, ways, box.exits[down] if down is not None else None, width)
    return replace(body, cut_words=cuts)


def _set_tailed(style: Style, goals: Goals, box: ChartBox, on: int, width: float) -> Body:
    """A repair, and on the right of it the decision whose "no" leads to the connector; or the connector alone."""
    way = box.exits[on]
    assert way.target is not None  # the caller has looked
    words = goals.no_words if box.asks_cured else ""
    said = style.text_width(words, style.body)
    sheet = _sheet_words(style, goals, way.target)
    dash = 0.25 * style.body
    before = dash + style.small_diamond + style.gap / 2 + said + style.gap / 2 if words else 0.0
    tail = before + style.arrow + style.circle + (style.gap + sheet[1] if sheet[0] else 0.0)
    head = set_head(style, box, max(width - tail, 4 * style.body))
    y, x = head.last, head.outline.rect.right
    marks = list(head.marks)
    label: tuple[TextLine, ...] = ()
    branch: tuple[Point, ...] = ()
    if words:
        marks.append(small_diamond_for(style, x + dash, y))
        branch = ((x, y), (x + dash, y))
        at = x + dash + style.small_diamond + style.gap / 2
        label = (TextLine(at, y + style.middle(style.body), words, style.body, said),)
    start = x + before
    circle = circle_for(style, goals.numbers[way.target], start + style.arrow, y)
    at = circle.rect.right + style.gap
    beside = (TextLine(at, y + style.middle(style.body), sheet[0], style.body, sheet[1]),) if sheet[0] else ()
    placed = PlacedExit(on, way.target, branch, label, ((start, y), (circle.rect.x, y)), circle, beside)
    height = max(head.outline.rect.h, circle.rect.bottom)
    return Body(head.outline, tuple(marks), head.stem, (placed,), None, None, height, head.cut_words)


def _set_below(style: Style, goals: Goals, box: ChartBox, width: float) -> Body:
    """A repair with the decision below it, where the box that follows stands below too."""
    head = set_head(style, box, width)
    x, foot = head.stem
    top = foot + DROP * style.body
    diamond = small_diamond_for(style, x - style.small_diamond / 2, top + style.small_diamond / 2)
    said = style.text_width(goals.no_words, style.body)
    at = diamond.rect.right + style.gap
    y = diamond.rect.y + style.small_diamond / 2 + style.middle(style.body)
    label = (TextLine(at, y, goals.no_words, style.body, said),)
    bottom = max(diamond.rect.bottom, y + 0.3 * style.body)
    return Body(
        head.outline, (*head.marks, diamond), (x, diamond.rect.bottom), (), label, None, bottom, head.cut_words,
        ((x, foot), (x, top)),
    )  # fmt: skip


def _sheet_words(style: Style, goals: Goals, target: str) -> tuple[str, float]:
    """What is said beside a connector to another sheet, and its width."""
    words = f"sheet {goals.sheets[target]}" if target in goals.sheets else ""
    return words, style.text_width(words, style.body) if words else 0.0


def _set_rows(style: Style, head: Head, rows: Sequence[_Row], down: ChartExit | None, width: float) -> Body:
    """The rows branch off the stem; the first ones share a line where they fit."""
    foot = head.outline.rect.h
    label = _short_label(style, down, width) if down and rows else None
    shared = _shared(style, rows, label.end_x + style.apart if label else style.stem, width)
    if label and len(shared) < len(rows):
        label, shared = None, _shared(style, rows, style.stem, width)
    branches: list[float] = []
    exits: list[PlacedExit] = []
    middle = foot + 0.2 * style.body + max((row.above for _, row in shared), default=0.0)
    y = middle + max((row.below for _, row in shared), default=0.0) if shared else foot
    for x, row in shared:
        moved = _moved(row, x - style.stem, middle)
        exits.append(moved.exit if x == style.stem else moved.begun((x, foot), (x, middle)))
        branches += [middle] if x == style.stem else []
    for row in rows[len(shared) :]:
        middle = y + 0.12 * style.body + row.above
        exits.append(_moved(row, 0.0, middle).exit)
        branches.append(middle)
        y = middle + row.below
    texts = tuple(t.moved(0.0, middle) for t in label.texts) if label else None
    last = branches[-1] if branches else None
    return Body(head.outline, head.marks, head.stem, tuple(exits), texts, last, y)


def _moved(row: _Row, dx: float, dy: float) -> _Row:
    return replace(row, exit=row.exit.moved(dx, dy))


def _set_hanging(style: Style, head: Head, rows: Sequence[_Row]) -> Body:
    """The first row leaves the right corner of the decision, the others the line that goes down from it."""
    foot, half = head.outline.rect.h, style.diamond / 2
    x, first = style.stem, foot + DROP * style.body + half
    first = max(first, foot + 0.2 * style.body + rows[0].above) if rows else first
    exits = [_moved(row, half, first).begun((x + half, first)) for row in rows[:1]]
    y = max([first + half, *(first + row.below for row in rows[:1])])
    branches: list[float] = []
    for row in rows[1:]:
        middle = y + 0.12 * style.body + row.above
        exits.append(_moved(row, 0.0, middle).exit)
        branches.append(middle)
        y = middle + row.below
    marks = (*head.marks, diamond_for(style, x, first))
    drop = ((x, foot), (x, first - half))
    last = branches[-1] if branches else None
    return Body(head.outline, marks, (x, first + half), tuple(exits), None, last, y, drop=drop)


def set_label(style: Style, way: ChartExit, x: float, width: float) -> Block:
    """The words of an exit beside the stem or above the box that stands aside, from `x`, their top at 0."""
    return set_block(style, [[(_words(way), False)]], Rect(x, style.lead / 2, width - x, 0.0), style.body)


def _words(way: ChartExit) -> str:
    return way.label.replace("\n", " / ")


def _short_label(style: Style, way: ChartExit, width: float) -> Block | None:
    """The words of the exit straight down on one line, its middle at 0; None where they take more."""
    block = set_block(style, [[(_words(way), False)]], Rect(style.aside, 0.0, width - style.aside, 0.0), style.body)
    return block if block.count == 1 else None


def _shared(style: Style, rows: Sequence[_Row], start: float, width: float) -> list[tuple[float, _Row]]:
    """The first rows that fit side by side on one line, each with the x at which it leaves the box."""
    found: list[tuple[float, _Row]] = []
    x = start
    for row in rows:
        if not row.single or x - style.stem + row.right > width + 1e-9:
            break
        found.append((x, row))
        x += row.right - style.stem + style.apart
    return found


def _set_row(style: Style, goals: Goals, way: ChartExit, index: int, width: float) -> _Row:
    if way.target is None:
        return _end_row(style, index, width, _words(way) or goals.end_words)
    number = goals.numbers[way.target]
    sheet, wide = _sheet_words(style, goals, way.target)
    beside_width = style.gap + wide if sheet else 0.0
    tail = style.gap + style.arrow + style.circle + beside_width
    room = Rect(style.aside, 0.0, width - style.aside, 0.0)
    block = set_block(style, [[(_words(way), False)]], room, style.body, tail=tail)
    down = UNDER_CIRCLE * style.body if block.count > 1 else 0.0  # keeps the line above off the circle
    y = block.last_middle + down
    last = block.last_middle + style.middle(style.body)
    label = tuple(t.moved(0.0, down) if t.y >= last - 1e-9 else t for t in block.texts)
    start = block.end_x + style.gap if block.count else style.stem
    circle = circle_for(style, number, start + style.arrow, y)
    words_x = circle.rect.right + style.gap
    words = (TextLine(words_x, y + style.middle(style.body), sheet, style.body, beside_width - style.gap),)
    placed = PlacedExit(
        index,
        way.target,
        ((style.stem, 0.0), (style.aside - style.gap, 0.0)) if block.count else (),
        label,
        ((start, y), (circle.rect.x, y)),
        circle,
        words if sheet else (),
    )
    above = style.circle / 2 if block.count <= 1 else style.lead / 2
    return _Row(
        placed, above, y + style.circle / 2, circle.rect.right + beside_width, block.count <= 1, block.cut_words
    )


def _end_row(style: Style, index: int, width: float, words: str) -> _Row:
    """An exit that ends the call: its words stand in the terminal."""
    x, pad = style.aside + style.gap, 0.55 * style.body
    block = set_block(style, [[(words, False)]], Rect(x + pad, 0.0, width - x - 2 * pad, 0.0), style.body)
    wide = block.right + pad - x
    half = style.lead / 2 + 0.14 * style.body
    height = block.last_middle + 2 * half
    end = PlacedSymbol("terminal", Rect(x, -half, wide, height), block.texts)
    placed = PlacedExit(index, None, (), (), ((style.stem, 0.0), (x, 0.0)), end)
    return _Row(placed, half, height - half, x + wide, block.count <= 1, block.cut_words)
