"""Chooses among all arrangements of a chart the one that a reader with wet hands reads best."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from faultleaf.layout.chart import Chart, ChartBox, ChartExit, Flow, reading_order, tidy
from faultleaf.layout.measure import measure_unit
from faultleaf.layout.metrics import MM_PER_PT, FontMetrics, Rulers
from faultleaf.layout.place import Columns, Grid, Piece, fold, put_in_columns
from faultleaf.layout.route import Routed, route
from faultleaf.layout.shapes import EDGE, PlacedChart, Unit
from faultleaf.layout.style import Style

AIM_PT = 12.0
FLOOR_PT = 10.0  # CAP 676 issue 3, at second hand: body text never below
WORTH_PT = 1.0  # the methods are given up only for a gain that the eye feels
STEP_PT = 0.25
LEAST_PT = 2.0
TOP_STEP = round((AIM_PT - LEAST_PT) / STEP_PT)
MOST_COLUMNS = 4
WIDEST_COLUMN = 26.0  # in sizes of type: about 55 letters, lines that the eye still follows
START = ""  # id of the start terminal, which no box can have


class DoesNotFit(ValueError):
    """No arrangement fits the frame, at any size of type."""


@dataclass(frozen=True)
class Frame:
    """The room for a chart on paper (mm)."""

    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class _Plan:
    """One arrangement to be tried: columns, a gutter at the right edge too, type in steps from the least."""

    columns: int
    right_gutter: bool
    step: int

    @property
    def type_pt(self) -> float:
        return LEAST_PT + self.step * STEP_PT


@dataclass(frozen=True)
class _Result:
    plan: _Plan
    columns: tuple[tuple[Unit, ...], ...]
    routed: Routed
    cut_words: int

    @property
    def merit(self) -> tuple[float, ...]:
        """Legible type first, then whole words, larger type (by the half point), lines rather than connectors."""
        size = self.plan.type_pt
        coarse = _coarse(size)
        return (min(coarse, FLOOR_PT), -self.cut_words, coarse, -self.routed.pairs, size, -self.plan.columns)

    @property
    def least_step(self) -> int:
        """The smallest step at which another arrangement can still be better than this one."""
        must = _coarse(self.plan.type_pt)
        return round(((min(must, FLOOR_PT) if self.cut_words else must) - LEAST_PT) / STEP_PT)


def _coarse(type_pt: float) -> float:
    """Legible type in half points, since less is not seen; below that every quarter counts."""
    return int(type_pt * 2) / 2 if type_pt >= FLOOR_PT else type_pt


def lay_out(chart: Chart, metrics: FontMetrics, frame: Frame) -> PlacedChart:
    """The chart placed in the frame with the largest type that fits, aiming at 12 pt (questions 14 pt).

    Where that stays below 10 pt the methods (`how`) are left out, if this helps; the result says so.
    Raises DoesNotFit when even the smallest type is too large.
    """
    chart = tidy(chart)
    full = _best(chart, metrics, frame)
    if full and full.plan.type_pt >= FLOOR_PT:
        return _finish(chart, full, how_shown=True)
    short = _best(_without_how(chart), metrics, frame) if any(box.how for box in chart.boxes) else None
    if short and (full is None or short.plan.type_pt >= min(FLOOR_PT, full.plan.type_pt + WORTH_PT)):
        return _finish(chart, short, how_shown=False)
    if full is None:
        raise DoesNotFit(f"{len(chart.boxes)} boxes do not fit {frame.width_mm:g} x {frame.height_mm:g} mm at any size")
    return _finish(chart, full, how_shown=True)


def lay_out_legible(charts: Sequence[Chart], metrics: FontMetrics, frame: Frame) -> tuple[int, PlacedChart]:
    """The first of several charts of the same call that is legible, and its index.

    Give the fullest chart first, then charts of plans with fewer boxes. Legible is 10 pt or more; a
    chart that keeps its methods goes before a fuller one that must leave them out. Where none is
    legible, the one with the largest type. Raises DoesNotFit when none fits, ValueError without charts.
    """
    placed: list[tuple[int, PlacedChart]] = []
    for i, chart in enumerate(charts):
        with suppress(DoesNotFit):
            placed.append((i, lay_out(chart, metrics, frame)))
        if placed and placed[-1][1].how_shown and placed[-1][1].type_pt >= FLOOR_PT:
            return placed[-1]
    legible = [one for one in placed if one[1].type_pt >= FLOOR_PT]
    if charts and not placed:
        raise DoesNotFit(f"none of {len(charts)} charts fits {frame.width_mm:g} x {frame.height_mm:g} mm")
    return legible[0] if legible else max(placed, key=lambda one: (one[1].type_pt, -one[0]))


def _without_how(chart: Chart) -> Chart:
    return replace(chart, boxes=tuple(replace(box, how="") for box in chart.boxes))


def _best(chart: Chart, metrics: FontMetrics, frame: Frame) -> _Result | None:
    """The arrangement with the most merit over all numbers of columns."""
    job = _Job(
        chart, reading_order(chart), Rulers(metrics), Frame(frame.width_mm - 2 * EDGE, frame.height_mm - 2 * EDGE)
    )
    best: _Result | None = None
    for columns, right_gutter in _shapes(chart):
        for offer in _offers(job, columns, right_gutter, best.least_step if best else 0):
            best = offer if best is None or offer.merit > best.merit else best
    return best


def _shapes(chart: Chart) -> Iterator[tuple[int, bool]]:
    for columns in range(1, min(MOST_COLUMNS, len(chart.boxes) + 1) + 1):
        yield columns, False
        yield columns, True


@dataclass(frozen=True)
class _Job:
    """What stays the same over all arrangements."""

    chart: Chart
    flow: Flow
    rulers: Rulers
    frame: Frame

    def start(self) -> ChartBox:
        """The start terminal: what the call is about."""
        way = ChartExit("", self.chart.root, 1.0)
        return ChartBox(START, 0, "terminal", self.chart.title, how=self.chart.subtitle, exits=(way,))

    def pieces(self, style: Style, width: float) -> tuple[Piece, ...]:
        """Every box measured, in reading order, the start terminal first."""
        boxes = self.chart.by_id()
        order = (self.start(), *(boxes[one] for one in self.flow.order))
        down = {START: 0, **self.flow.down}
        ways_in = [e.target for box in order for e in box.exits]
        following = (*order[1:], None)
        return tuple(
            self._piece(style, width, box, down.get(box.id), after, ways_in.count(box.id))
            for box, after in zip(order, following, strict=True)
        )

    def _piece(
        self, style: Style, width: float, box: ChartBox, down: int | None, after: ChartBox | None, ways_in: int
    ) -> Piece:
        goes_on = after is not None and down is not None and box.exits[down].target == after.id
        ways_down = (None, down) if goes_on else (None,)
        units = measure_unit(style, box, width, self.chart.end_words, ways_down)
        return Piece(units[-1], units[0], goes_on, ways_in)


def _offers(job: _Job, columns: int, right_gutter: bool, least: int) -> Iterator[_Result]:
    """The largest type that fits this shape, and below it the largest legible type that cuts fewer words.

    A shape that does not fit at step `least` already cannot be the best one and is passed over.
    """
    offer = _largest(job, columns, right_gutter, least)
    while offer:
        yield offer
        plan, cut_words = offer.plan, offer.cut_words
        offer = None
        while cut_words and plan.type_pt - STEP_PT >= FLOOR_PT and not offer:
            plan = replace(plan, step=plan.step - 1)
            lower = _arrange(job, plan)
            offer = lower if lower and lower.cut_words < cut_words else None


def _largest(job: _Job, columns: int, right_gutter: bool, least: int) -> _Result | None:
    """The arrangement of this shape with the largest type that fits, from step `least` up, found by halving."""
    best = _arrange(job, _Plan(columns, right_gutter, least))
    low, high = least, TOP_STEP + 1  # fits at low, does not at high
    middle = TOP_STEP  # most charts are small enough for the type we aim at
    while best and high - low > 1:
        result = _arrange(job, _Plan(columns, right_gutter, middle))
        low, high = (middle, high) if result else (low, middle)
        best = result or best
        middle = (low + high) // 2
    return best


def _arrange(job: _Job, plan: _Plan) -> _Result | None:
    """The chart in this arrangement, or None where it does not fit the frame."""
    style = Style(job.rulers, plan.type_pt * MM_PER_PT)
    gutter = 3.0 * style.body
    gutters = plan.columns - (0 if plan.right_gutter else 1)
    width = min((job.frame.width_mm - gutters * gutter) / plan.columns, WIDEST_COLUMN * style.body)
    if width < 8 * style.body:  # room for a stem, a short word and a circle
        return None
    pieces = job.pieces(style, width)
    folded: Columns | None = fold(style, pieces, plan.columns, job.frame.height_mm)
    if folded is None:
        return None
    grid = Grid(width, gutter, folded.height)
    placed = put_in_columns(style, pieces, folded, grid)
    edge = plan.columns * width + gutters * gutter
    return _Result(plan, placed, route(style, placed, grid, edge), sum(p.closed.cut_words for p in pieces))


def _finish(chart: Chart, result: _Result, how_shown: bool) -> PlacedChart:
    units = tuple(unit for column in result.columns for unit in column)
    xs = [unit.area.right for unit in units] + [x for line in result.routed.lines for x, _ in line.points]
    return PlacedChart(
        title=chart.title,
        subtitle=chart.subtitle,
        lang=chart.lang,
        width=max(xs) + 2 * EDGE,
        height=max(unit.area.bottom for unit in units) + 2 * EDGE,
        type_pt=result.plan.type_pt,
        how_shown=how_shown,
        columns=result.plan.columns,
        cut_words=result.cut_words,
        units=units,
        lines=result.routed.lines,
        connectors=result.routed.connectors,
    )
