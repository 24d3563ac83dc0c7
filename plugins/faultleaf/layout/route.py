"""Lines between placed units, and numbered connectors where no clear line can be drawn.

Every line from a row runs level to the gutter on its right, along one lane of the gutter, and level
into its box: into the left side of a box of the next column, or back into the right side of a box
further down in the same column. Short lines are drawn first. A line that would cross or touch one
that is already there, or would have to climb or run far, becomes a pair of connectors instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from faultleaf.layout.place import Grid
from faultleaf.layout.shapes import Connector, Line, Point, Rect, Unit, UnitExit
from faultleaf.layout.style import Style, circle_for

FAR_MM = 120.0  # a longer line is harder to follow than a number is to find
CLIMB_MM = 45.0  # the flow goes down; a short rise is bearable


@dataclass(frozen=True)
class Way:
    """An exit that needs a line or a connector: where it leaves, and what it leads to."""

    column: int
    unit: Unit
    exit: UnitExit
    target: str


@dataclass(frozen=True)
class Routed:
    """All lines with arrowheads and all connector circles."""

    lines: tuple[Line, ...]
    connectors: tuple[Connector, ...]
    pairs: int  # exits that end in a connector


def route(style: Style, columns: Sequence[Sequence[Unit]], grid: Grid, right_edge: float) -> Routed:
    """Lines and connectors for every exit of the placed units. `right_edge` bounds the last gutter (mm)."""
    units = {unit.box.id: unit for column in columns for unit in column}
    where = {unit.box.id: c for c, column in enumerate(columns) for unit in column}
    lines = [_straight_line(unit, way, units) for unit, way in _exits(columns) if way.straight]
    lines += [_end_line(unit, way) for unit, way in _exits(columns) if way.end]
    ways = [
        Way(where[unit.box.id], unit, way, target)
        for unit, way in _exits(columns)
        if (target := unit.box.exits[way.index].target) is not None and not way.straight
    ]
    drawn: list[Line] = []
    left_over: list[Way] = []
    for _, way in sorted(((_length(w, units), i) for i, w in enumerate(ways))):
        gutter = columns[ways[way].column][0].area.right
        lanes = _lanes(style, gutter, min(gutter + grid.gutter, right_edge))
        line = _clear_line(style, ways[way], units[ways[way].target], where, lanes, drawn)
        if line:
            drawn.append(line)
        else:
            left_over.append(ways[way])
    out = [_out_connector(style, way, units[way.target]) for way in left_over]
    entries = [_in_connector(style, units[one], lines) for one in units if any(w.target == one for w in left_over)]
    return Routed(
        (*lines, *drawn, *(line for _, line in out), *(line for _, line in entries)),
        (*(c for c, _ in out), *(c for c, _ in entries)),
        len(left_over),
    )


def _exits(columns: Sequence[Sequence[Unit]]) -> Iterator[tuple[Unit, UnitExit]]:
    return ((unit, way) for column in columns for unit in column for way in unit.exits)


def _straight_line(unit: Unit, way: UnitExit, units: dict[str, Unit]) -> Line:
    target = unit.box.exits[way.index].target
    assert target is not None  # only an exit that leads somewhere is measured as straight
    return Line(unit.box.id, way.index, target, (way.run, (way.run[0], units[target].area.y)))


def _end_line(unit: Unit, way: UnitExit) -> Line:
    assert way.end is not None
    return Line(unit.box.id, way.index, None, (way.run, (way.end.rect.x, way.run[1])))


def _length(way: Way, units: dict[str, Unit]) -> float:
    return abs(units[way.target].entry_y - way.exit.run[1])


def _lanes(style: Style, left: float, right: float) -> tuple[float, ...]:
    """x of the lanes in a gutter; the last leaves room for an arrowhead before the next column."""
    lanes = (left + style.body * (0.95 + 0.55 * i) for i in range(4))
    return tuple(x for x in lanes if x <= right - 0.9 * style.body)


def _clear_line(
    style: Style, way: Way, target: Unit, where: dict[str, int], lanes: tuple[float, ...], drawn: Sequence[Line]
) -> Line | None:
    """The line for this way that keeps clear of those already drawn; None where there is none."""
    y, end_y = way.exit.run[1], target.entry_y
    beside = where[target.box.id] == way.column + 1
    below = where[target.box.id] == way.column and target.right_entry and end_y > y
    if not (beside or below) or end_y - y > FAR_MM or y - end_y > CLIMB_MM:
        return None
    end: Point = (target.area.x if beside else target.area.right, end_y)
    tries: list[tuple[Point, ...]] = [(way.exit.run, end)] if beside and abs(end_y - y) < 1e-6 else []
    tries += [(way.exit.run, (x, y), (x, end_y), end) for x in lanes]
    for points in tries:
        if all(_apart(points, other.points, 0.5 * style.body) for other in drawn):
            return Line(way.unit.box.id, way.exit.index, target.box.id, points)
    return None


def _apart(one: Sequence[Point], other: Sequence[Point], distance: float) -> bool:
    """Whether no piece of one line comes nearer than `distance` to a piece of the other."""
    return not any(a.overlaps(b) for a in _strips(one, distance / 2) for b in _strips(other, distance / 2))


def _strips(points: Sequence[Point], margin: float) -> Iterator[Rect]:
    for (x1, y1), (x2, y2) in pairwise(points):
        left, top = min(x1, x2) - margin, min(y1, y2) - margin
        yield Rect(left, top, abs(x2 - x1) + 2 * margin, abs(y2 - y1) + 2 * margin)


def _out_connector(style: Style, way: Way, target: Unit) -> tuple[Connector, Line]:
    """The circle right after the first line of the exit's words."""
    x, y = way.exit.run[0] + style.arrow, way.exit.run[1]
    circle = circle_for(style, target.box.number, x, y)
    line = Line(way.unit.box.id, way.exit.index, target.box.id, (way.exit.run, (x, y)))
    return Connector(circle, target.box.id, incoming=False), line


def _in_connector(style: Style, unit: Unit, straight: Sequence[Line]) -> tuple[Connector, Line]:
    """The circle above a box, with its arrow into the box or into the line that comes from above."""
    x = unit.stem_x + 0.9 * style.body
    y = unit.area.y - style.circle / 2 - 0.25 * style.body
    circle = circle_for(style, unit.box.number, x, y)
    joins = any(line.target == unit.box.id for line in straight)
    corner: Point = (unit.stem_x, y)
    points = ((x, y), corner) if joins else ((x, y), corner, (unit.stem_x, unit.area.y))
    return Connector(circle, unit.box.id, incoming=True), Line(None, 0, unit.box.id, points)
