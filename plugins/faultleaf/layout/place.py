"""Units into columns: folded like a newspaper, straight ways kept whole where that is possible."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from faultleaf.layout.shapes import Unit
from faultleaf.layout.style import Style


@dataclass(frozen=True)
class Piece:
    """One unit before it has a place.

    `joined` is the unit with its straight exit going to the piece that follows in the order,
    `closed` the same unit with every exit as a row of its own. They are the same where the
    following piece is not what the straight exit leads to.
    """

    joined: Unit
    closed: Unit
    goes_on: bool
    ways_in: int

    @property
    def id(self) -> str:
        """Id of the box."""
        return self.closed.box.id


@dataclass(frozen=True)
class Columns:
    """Indices of the first piece of each column, and the height of the tallest column (mm)."""

    starts: tuple[int, ...]
    height: float
    cuts: int  # straight ways that are cut by the end of a column


def gap_above(style: Style, pieces: Sequence[Piece], i: int, first: bool) -> float:
    """Free height above piece `i`, enough for the arrow and the connector that come in from above (mm)."""
    circle = style.circle + 0.35 * style.body
    follows = i > 0 and pieces[i - 1].goes_on and not first
    if pieces[i].ways_in == 0:
        return 0.0
    if follows:
        return style.arrow if pieces[i].ways_in == 1 else circle
    return circle + (0.0 if first else 0.9 * style.body)


def fold(style: Style, pieces: Sequence[Piece], columns: int, height: float) -> Columns | None:
    """The fold into so many columns that cuts the fewest straight ways, then is the least tall; None if none fits.

    Dynamic programme over the place of the last fold: n * n * columns steps for n pieces.
    """
    tall = _column_heights(style, pieces, height)
    best: dict[int, tuple[int, float, tuple[int, ...]]] = {0: (0, 0.0, ())}
    for _ in range(columns):
        grown: dict[int, tuple[int, float, tuple[int, ...]]] = {}
        for start, (cuts, most, starts) in best.items():
            for end, column in tall[start].items():
                cut = cuts + (end < len(pieces) and pieces[end - 1].goes_on)
                offer = (cut, max(most, column), (*starts, start))
                grown[end] = min(grown.get(end, offer), offer)
        best = grown
    if len(pieces) not in best:
        return None
    cuts, most, starts = best[len(pieces)]
    return Columns(starts, most, cuts)


def _column_heights(style: Style, pieces: Sequence[Piece], limit: float) -> list[dict[int, float]]:
    """For each start the ends (exclusive) of the columns that fit, with their heights."""
    heights: list[dict[int, float]] = []
    for start in range(len(pieces)):
        fits: dict[int, float] = {}
        used = 0.0
        for i in range(start, len(pieces)):
            used += gap_above(style, pieces, i, first=i == start)
            if used + pieces[i].closed.area.h <= limit:
                fits[i + 1] = used + pieces[i].closed.area.h
            used += pieces[i].joined.area.h
            if used > limit:
                break
        heights.append(fits)
    return [*heights, {}]  # nothing starts after the last piece


@dataclass(frozen=True)
class Grid:
    """Where columns stand: width of each, of the gutters between them, and the height of all (mm)."""

    column: float
    gutter: float
    height: float


def put_in_columns(style: Style, pieces: Sequence[Piece], columns: Columns, grid: Grid) -> tuple[tuple[Unit, ...], ...]:
    """The units at their places, column by column.

    Height to spare lets a side branch sink to the exit that it comes from, so that its line runs level.
    """
    placed: list[tuple[Unit, ...]] = []
    ends = (*columns.starts[1:], len(pieces))
    for c, (start, end) in enumerate(zip(columns.starts, ends, strict=True)):
        column = [_final(pieces[i], last=i == end - 1) for i in range(start, end)]
        gaps = [gap_above(style, pieces, i, first=i == start) for i in range(start, end)]
        stuck = [i > start and pieces[i - 1].goes_on for i in range(start, end)]
        wishes = _wishes(placed[-1]) if placed else {}
        tops = _sink(column, gaps, stuck, wishes, grid.height)
        x = c * (grid.column + grid.gutter)
        placed.append(tuple(unit.moved(x, top) for unit, top in zip(column, tops, strict=True)))
    return tuple(placed)


def _final(piece: Piece, last: bool) -> Unit:
    return piece.closed if last else piece.joined


def _wishes(column: Sequence[Unit]) -> Mapping[str, float]:
    """For each box that a row of this column leads to: the height at which the highest such row leaves."""
    wishes: dict[str, float] = {}
    for unit in column:
        for way in unit.exits:
            target = unit.box.exits[way.index].target
            if target is not None and not way.straight:
                wishes.setdefault(target, way.run[1])
    return wishes


def _sink(
    column: Sequence[Unit], gaps: Sequence[float], stuck: Sequence[bool], wishes: Mapping[str, float], height: float
) -> list[float]:
    """Tops of the units: as high as they go, but sunk towards their wishes as far as the column has room.

    A unit that hangs on the one above (`stuck`) keeps its distance, or the straight line would stretch.
    """
    latest = [0.0] * len(column)
    floor = height
    for i in reversed(range(len(column))):
        latest[i] = floor - column[i].area.h
        floor = latest[i] - gaps[i]
    tops: list[float] = []
    bottom = 0.0
    for i, unit in enumerate(column):
        top = bottom + gaps[i]
        if not stuck[i] and unit.box.id in wishes:
            top = max(top, min(latest[i], wishes[unit.box.id] - unit.entry_y))
        tops.append(top)
        bottom = top + unit.area.h
    return tops
