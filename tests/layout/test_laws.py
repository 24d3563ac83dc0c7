"""Laws that every drawn chart obeys, checked on the named charts and on 100 random ones."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise
from math import hypot

import pytest
from faultleaf.layout import (
    Chart,
    Frame,
    PlacedChart,
    PlacedSymbol,
    Rect,
    TextLine,
    Unit,
    clean_text,
    draw_svg,
    lay_out,
)
from faultleaf.layout.style import end_radius
from faultleaf.pipeline.fonts import load_metrics

from tests.layout import charts

NAMED = {"small": charts.SMALL, "overfill": charts.OVERFILL}
CASES = [*NAMED, *range(100)]
FRAME = Frame(190, 235)
HAIR = 1e-6


@cache
def chart_of(case: str | int) -> Chart:
    return NAMED[case] if isinstance(case, str) else charts.random_chart(case)


@cache
def placed_of(case: str | int) -> PlacedChart:
    return lay_out(chart_of(case), load_metrics(), FRAME)


def symbols(placed: PlacedChart) -> Iterator[PlacedSymbol]:
    """Everything with an outline, but for the hazard triangle, which stands inside its box."""
    for unit in placed.units:
        yield from (symbol for symbol in unit.symbols if symbol.shape != "alert")
        yield from (way.end for way in unit.exits if way.end)
    yield from (connector.symbol for connector in placed.connectors)


def labels(placed: PlacedChart) -> Iterator[TextLine]:
    return (line for unit in placed.units for way in unit.exits for line in way.label)


def strokes(placed: PlacedChart) -> Iterator[Rect]:
    """Every straight piece of a line as a rectangle without thickness."""
    leads = [way.lead for unit in placed.units for way in unit.exits]
    for points in (*leads, *(line.points for line in placed.lines)):
        for (x1, y1), (x2, y2) in pairwise(points):
            yield Rect(min(x1, x2), min(y1, y2), abs(x2 - x1), abs(y2 - y1))


def shrunk(rect: Rect, by: float = 0.01) -> Rect:
    return Rect(rect.x + by, rect.y + by, max(rect.w - 2 * by, 0), max(rect.h - 2 * by, 0))


def crosses(stroke: Rect, rect: Rect) -> bool:
    """Whether the stroke, which has no area, runs through the inside of the rectangle."""
    inner = shrunk(rect)
    across = stroke.x < inner.right and stroke.right > inner.x
    along = stroke.y < inner.bottom and stroke.bottom > inner.y
    return across and along


@pytest.mark.parametrize("case", CASES)
def test_units_symbols_and_words_never_overlap(case: str | int) -> None:
    placed = placed_of(case)
    for one, other in combinations([unit.area for unit in placed.units], 2):
        assert not one.overlaps(shrunk(other))
    solid = [*(symbol.rect for symbol in symbols(placed)), *(line.rect for line in labels(placed))]
    for one, other in combinations(solid, 2):
        assert not one.overlaps(shrunk(other)), (one, other)


@pytest.mark.parametrize("case", CASES)
def test_no_line_runs_through_a_symbol_or_a_word(case: str | int) -> None:
    placed = placed_of(case)
    solid = [*(symbol.rect for symbol in symbols(placed)), *(line.rect for line in labels(placed))]
    for stroke in strokes(placed):
        assert not [rect for rect in solid if crosses(stroke, rect)], stroke


@pytest.mark.parametrize("case", CASES)
def test_lines_of_different_exits_never_cross(case: str | int) -> None:
    lines = [line for line in placed_of(case).lines if line.source is not None]
    for one, other in combinations(lines, 2):
        for a, b in ((a, b) for a in pairwise(one.points) for b in pairwise(other.points)):
            assert not _meet(a, b), (one, other)


def _meet(a: tuple[tuple[float, float], ...], b: tuple[tuple[float, float], ...]) -> bool:
    (ax1, ax2), (ay1, ay2) = (sorted(p[i] for p in a) for i in (0, 1))
    (bx1, bx2), (by1, by2) = (sorted(p[i] for p in b) for i in (0, 1))
    return ax1 <= bx2 and bx1 <= ax2 and ay1 <= by2 and by1 <= ay2


@pytest.mark.parametrize("case", CASES)
def test_text_lies_inside_its_symbol_and_labels_inside_their_unit(case: str | int) -> None:
    placed = placed_of(case)
    for unit in placed.units:
        for symbol in (*unit.symbols, *(way.end for way in unit.exits if way.end)):
            for line in symbol.texts:
                assert holds(unit, symbol, line), (symbol.shape, line)
        for way in unit.exits:
            assert all(unit.area.holds(line.rect, 0.3) for line in way.label)
    for connector in placed.connectors:
        assert all(in_circle(connector.symbol.rect, line) for line in connector.symbol.texts)


def holds(unit: Unit, symbol: PlacedSymbol, line: TextLine) -> bool:
    """Whether the outline of the symbol, not only its rectangle, holds the line."""
    rect, text = symbol.rect, line.rect
    if symbol.shape == "connector":
        return in_circle(rect, line)
    if not rect.holds(text, 0.05):
        return False
    if symbol.shape == "decision":  # the far corner of the text against the slanted side, from the middle
        dx = max(abs(text.x - rect.x - rect.w / 2), abs(text.right - rect.x - rect.w / 2))
        return dx / (rect.w / 2) + 0.36 * line.size / (rect.h / 2) <= 1
    stem = unit.stem_x - unit.area.x
    if symbol.shape == "terminal":
        return in_round_ends(rect, text, end_radius(rect.h, stem))
    if symbol.shape == "preparation":
        return rect.x + 0.8 * stem <= text.x and text.right <= rect.right - 0.8 * stem
    return True


def in_circle(rect: Rect, line: TextLine) -> bool:
    """Whether the circle holds the figures of the line, which have nothing below the baseline."""
    radius, middle = rect.w / 2, (rect.x + rect.w / 2, rect.y + rect.h / 2)
    corners = ((x, y) for x in (line.x, line.x + line.width) for y in (line.y - 0.714 * line.size, line.y))
    return all(hypot(x - middle[0], y - middle[1]) < radius for x, y in corners)


def in_round_ends(rect: Rect, text: Rect, radius: float) -> bool:
    inner = Rect(rect.x + radius, rect.y + radius, rect.w - 2 * radius, rect.h - 2 * radius)
    for x, y in ((x, y) for x in (text.x, text.right) for y in (text.y, text.bottom)):
        dx = max(inner.x - x, x - inner.right, 0)
        dy = max(inner.y - y, y - inner.bottom, 0)
        if hypot(dx, dy) > radius + 0.05:
            return False
    return True


@pytest.mark.parametrize("case", CASES)
def test_everything_lies_inside_the_frame(case: str | int) -> None:
    placed = placed_of(case)
    assert placed.width <= FRAME.width_mm + HAIR
    assert placed.height <= FRAME.height_mm + HAIR
    room = Rect(0, 0, placed.width - 1, placed.height - 1)  # the edge keeps half a millimetre for the strokes
    things = [*(s.rect for s in symbols(placed)), *strokes(placed), *(line.rect for line in labels(placed))]
    assert all(room.holds(rect, 0.3) for rect in things)


@pytest.mark.parametrize("case", CASES)
def test_every_exit_has_its_words_and_leads_where_it_says(case: str | int) -> None:
    placed = placed_of(case)
    units = {unit.box.id: unit for unit in placed.units}
    arrivals = {connector.target for connector in placed.connectors if connector.incoming}
    leaving = [c for c in placed.connectors if not c.incoming]
    drawn = {(line.source, line.index): line for line in placed.lines if line.source is not None}
    for box in chart_of(case).boxes:
        ways = {way.index: way for way in units[box.id].exits}
        for index, way in enumerate(box.exits):
            assert words(ways[index].label) == bare(way.label)
            line, end = drawn[box.id, index], drawn[box.id, index].points[-1]
            if way.target is None:
                terminal = ways[index].end
                assert terminal is not None
                assert end[0] == terminal.rect.x
                assert terminal.rect.y < end[1] < terminal.rect.bottom
                continue
            assert line.target == way.target
            circle = [c for c in leaving if c.target == way.target and touches(c.symbol.rect, end)]
            assert at_entry(units[way.target], end) or (circle and way.target in arrivals)


def bare(text: str) -> str:
    """The text without blanks and hyphens, which line breaks may take away or add."""
    return clean_text(text).replace(" ", "").replace("-", "")


def words(lines: tuple[TextLine, ...]) -> str:
    return bare("".join(line.text for line in lines))


def touches(rect: Rect, point: tuple[float, float]) -> bool:
    return abs(point[0] - rect.x) < 0.01 and abs(point[1] - rect.y - rect.h / 2) < 0.01


def at_entry(unit: Unit, point: tuple[float, float]) -> bool:
    """Whether the point is where lines may come into the unit: top of its stem, or either side."""
    ways_in = [(unit.stem_x, unit.area.y), (unit.area.x, unit.entry_y)]
    ways_in += [(unit.area.right, unit.entry_y)] if unit.right_entry else []
    return any(hypot(point[0] - x, point[1] - y) < 0.01 for x, y in ways_in)


@pytest.mark.parametrize("case", CASES)
def test_an_arrow_leads_into_every_box(case: str | int) -> None:
    placed = placed_of(case)
    units = {unit.box.id: unit for unit in placed.units}
    for box in chart_of(case).boxes:
        tips = [line.points[-1] for line in placed.lines if line.target == box.id]
        assert any(at_entry(units[box.id], tip) for tip in tips)


@pytest.mark.parametrize("case", CASES)
def test_an_arrow_that_reaches_a_box_touches_its_outline(case: str | int) -> None:
    placed = placed_of(case)
    first = {unit.box.id: unit.symbols[0].rect for unit in placed.units}
    circles = [connector.symbol.rect for connector in placed.connectors if not connector.incoming]
    for line in placed.lines:
        if line.target is None or any(touches(rect, line.points[-1]) for rect in circles):
            continue
        rect, (x, y) = first[line.target], line.points[-1]
        joins_from_above = line.source is None and len(line.points) == 2
        on_side = min(abs(x - rect.x), abs(x - rect.right)) < 0.01 and rect.y < y < rect.bottom
        assert joins_from_above or on_side or (abs(y - rect.y) < 0.01 and rect.x < x < rect.right)


@pytest.mark.parametrize("case", CASES)
def test_all_words_of_the_boxes_are_drawn(case: str | int) -> None:
    placed = placed_of(case)
    units = {unit.box.id: unit for unit in placed.units}
    for box in chart_of(case).boxes:
        drawn = words(tuple(line for symbol in units[box.id].symbols for line in symbol.texts))
        told = [box.action, box.question, box.note, box.hazard, *([box.how] if placed.how_shown else [])]
        for text in told:
            assert bare(text) in drawn


@pytest.mark.parametrize("case", [*NAMED, *range(0, 100, 10)])
def test_the_drawing_does_not_depend_on_the_order_in_which_boxes_are_given(case: str | int) -> None:
    chart = chart_of(case)
    boxes = list(chart.boxes)
    random.Random(1).shuffle(boxes)
    again = lay_out(replace(chart, boxes=tuple(boxes)), load_metrics(), FRAME)
    assert draw_svg(again) == draw_svg(placed_of(case))
